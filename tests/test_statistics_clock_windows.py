"""The modal day by the clock: windows go round midnight, and none is drawn on too little."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.statistics.clock_windows import ClockWindow, clock_windows, untested_hours
from app.statistics.quantiles import quartiles

tenths = st.integers(11, 300).map(lambda tenth: tenth / 10)
values = st.one_of(tenths, st.sampled_from([-math.inf, math.inf]))
readings = st.lists(
    st.tuples(values, st.integers(0, 1439), st.integers(0, 9)), min_size=0, max_size=60
)
Reading = tuple[float, int, int]


def of(rows: list[Reading], **asked: int) -> tuple[ClockWindow, ...]:
    return clock_windows(*([row[column] for row in rows] for column in range(3)), **asked)


def slow_window(rows: list[Reading], start: int, width: int, fewest: int, days: int) -> ClockWindow:
    """One window by looking at each reading, its quartiles by the other module."""
    inside = [(v, d) for v, minute, d in rows if (minute - start) % 1440 < width]
    n, distinct = len(inside), len({d for _, d in inside})
    middle = (start + width // 2) % 1440
    if n < max(fewest, 1) or distinct < days:
        return ClockWindow(start, middle, n, distinct, None, None, None)
    found = quartiles(
        [v for v, _ in inside if math.isfinite(v)],
        below=sum(v == -math.inf for v, _ in inside),
        above=sum(v == math.inf for v, _ in inside),
    )
    assert found is not None
    return ClockWindow(start, middle, n, distinct, found.q1, found.median, found.q3)


def close(found: ClockWindow, expected: ClockWindow) -> bool:
    counts = (found.start, found.middle, found.n, found.days)
    if counts != (expected.start, expected.middle, expected.n, expected.days):
        return False
    pairs = zip(
        (found.q1, found.median, found.q3),
        (expected.q1, expected.median, expected.q3),
        strict=True,
    )
    return all(mine == pytest.approx(theirs, abs=1e-9) for mine, theirs in pairs)


def test_there_are_48_windows_of_two_hours() -> None:
    found = of([])

    assert [window.start for window in found] == list(range(0, 1440, 30))
    assert all(window.n == 0 and window.median is None for window in found)


def test_a_reading_is_in_four_windows_round_midnight_too() -> None:
    found = of([(5.6, 10, 1)])

    assert [window.start for window in found if window.n] == [0, 1350, 1380, 1410]


def test_the_end_of_a_window_is_not_in_it() -> None:
    found = of([(5.6, 120, 1)])

    assert found[0].n == 0
    assert found[1].n == 1


@pytest.mark.parametrize(("n", "days", "drawn"), [(12, 7, True), (11, 7, False), (12, 6, False)])
def test_nothing_is_drawn_below_12_readings_on_7_days(n: int, days: int, drawn: bool) -> None:
    rows = [(5.0 + i / 10, 400, i % days) for i in range(n)]

    found = of(rows)[12]

    assert (found.n, found.days) == (n, days)
    assert (found.median is not None) is drawn


def test_a_quartile_off_the_scale_is_infinite() -> None:
    rows = [(math.inf if i < 7 else 8.0, 400, i) for i in range(14)]

    found = of(rows)[12]

    assert found.q1 == 8.0
    assert found.q3 == math.inf


@settings(max_examples=60)
@given(readings, st.sampled_from([1, 18.0156]), st.sampled_from([(120, 30), (60, 60), (1440, 240)]))
def test_windows_are_those_of_looking_at_each_reading(
    rows: list[Reading], factor: float, shape: tuple[int, int]
) -> None:
    width, step = shape
    rows = [(v * factor, minute, day) for v, minute, day in rows]

    found = of(rows, width=width, step=step, fewest=2, fewest_days=2)

    for window in found:
        assert close(window, slow_window(rows, window.start, width, 2, 2))


@pytest.mark.parametrize("places", [0, 1, 15])
def test_a_long_record_has_the_same_quartiles_however_many_different_values(places: int) -> None:
    rng = np.random.default_rng(4)
    values = np.round(rng.lognormal(2, 0.3, 6_000), places)
    minutes, days = rng.integers(300, 1440, 6_000), np.sort(rng.integers(0, 900, 6_000))
    rows = list(zip(values.tolist(), minutes.tolist(), days.tolist(), strict=True))

    found = clock_windows(values, minutes, days)

    for window in found[::7]:
        assert close(window, slow_window(rows, window.start, 120, 12, 7))


@given(readings, st.randoms(use_true_random=False))
def test_order_never_matters(rows: list[Reading], random: object) -> None:
    before = of(rows, fewest=1, fewest_days=1)
    random.shuffle(rows)  # type: ignore[attr-defined]

    assert of(rows, fewest=1, fewest_days=1) == before


@pytest.mark.parametrize("shape", [(120, 50), (100, 30), (0, 30), (30, 60), (2880, 30), (120, 0)])
def test_windows_that_do_not_fit_the_day_are_refused(shape: tuple[int, int]) -> None:
    with pytest.raises(ValueError, match=f"width={shape[0]}, step={shape[1]}"):
        of([], width=shape[0], step=shape[1])


def test_untested_hours_are_those_without_a_single_reading() -> None:
    assert untested_hours([]) == tuple(range(24))
    assert untested_hours([0, 59, 61, 1439]) == tuple(range(2, 23))


@pytest.mark.parametrize("minute", [-1, 1440])
def test_a_minute_that_no_day_has_is_refused(minute: int) -> None:
    with pytest.raises(ValueError, match="minutes must lie from 0 to 1439"):
        untested_hours([minute])
    with pytest.raises(ValueError, match="minutes must lie from 0 to 1439"):
        of([(5.6, minute, 1)])
