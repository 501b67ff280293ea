"""MAGE: what holds for every day, which days of a record count, and one day against all at once."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.mage import mage
from app.statistics.mage_day import day_mage, turning_points

A = [100, 180, 110, 190, 90, 170, 120]
B = [95, 160, 150, 240, 130, 140, 80]

# Few levels make ties, plateaus and swings of exactly one SD common.
levels = st.one_of(st.integers(4, 8), st.integers(40, 400))
days = st.lists(levels, min_size=2, max_size=14)


def slow_legs(values: list[float]) -> list[float]:
    """The rule from the other end: the kept points are found by search, not by scanning.

    From the first point of an opening swing, each kept point is the last extreme before the record
    first comes back by more than the SD.
    """
    limit = np.std(values, ddof=1) * (1 + 1e-9) + 1e-12
    for end in range(1, len(values)):
        before = values[:end]
        if values[end] - min(before) > limit:
            start, sign = before.index(min(before)), 1
            break
        if max(before) - values[end] > limit:
            start, sign = before.index(max(before)), -1
            break
    else:
        return []
    kept = [values[start]]
    rest = values[start:]
    while True:
        tilted = [sign * value for value in rest]
        back = next((i for i in range(1, len(rest)) if max(tilted[:i]) - tilted[i] > limit), None)
        top = tilted[: back or len(rest)]
        kept.append(sign * max(top))
        if back is None:
            return [float(b - a) for a, b in pairwise(kept)]
        rest, sign = rest[top.index(max(top)) :], -sign


@given(days)
def test_a_day_has_the_legs_that_a_search_finds(values: list[float]) -> None:
    found = day_mage(values)

    assert found is not None
    assert list(found.legs) == slow_legs([float(value) for value in values])


@given(days)
def test_each_leg_exceeds_the_sd_and_directions_alternate(values: list[float]) -> None:
    found = day_mage(values)

    assert found is not None
    assert all(abs(leg) > found.sd for leg in found.legs)
    signs = np.sign(found.legs)
    assert (signs[1:] == -signs[:-1]).all()


@given(days.filter(lambda values: len(set(values)) > 1))
def test_a_day_that_is_not_constant_has_a_mage_between_its_sd_and_its_range(
    values: list[float],
) -> None:
    found = day_mage(values)

    assert found is not None
    assert found.sd < found.value <= max(values) - min(values)
    assert {min(values), max(values)} <= set(found.kept)


@given(days, st.integers(-30, 300), st.sampled_from([0.5, 2.0, 18.0, 1 / 18.0156]))
def test_adding_changes_nothing_and_scaling_scales(
    values: list[float], shift: int, factor: float
) -> None:
    plain = day_mage(values)
    shifted = day_mage([value + shift for value in values])
    scaled = day_mage([value * factor for value in values])

    assert plain is not None
    assert shifted is not None
    assert scaled is not None
    assert shifted.value == pytest.approx(plain.value, abs=1e-9)
    assert scaled.value == pytest.approx(factor * plain.value, rel=1e-9, abs=1e-9)


def test_less_than_two_results_are_no_day() -> None:
    assert day_mage([]) is None
    assert day_mage([100]) is None
    assert turning_points([100]).tolist() == [100]


def test_a_plateau_counts_once_and_may_open_or_close_the_day() -> None:
    assert turning_points([100, 100, 150, 150, 90, 90]).tolist() == [100, 150, 90]


@given(st.lists(st.lists(levels, min_size=1, max_size=14), min_size=1, max_size=8), st.booleans())
def test_all_days_at_once_give_the_mean_of_one_at_a_time(
    record: list[list[int]], sparse: bool
) -> None:
    values = [value for day in record for value in day]
    numbers = [number for number, day in enumerate(record) for _ in day]

    found = mage(values, np.arange(len(values)), numbers, sparse=sparse)

    used = [day for day in record if len(day) >= (4 if sparse else 7)]
    each = [result.value for day in used if (result := day_mage(day)) is not None]
    assert found.days == len(used)
    assert found.sparse_days == sum(len(day) < 7 for day in used)
    assert found.short_days == len(record) - len(used)
    assert found.value == (pytest.approx(np.mean(each), abs=1e-9) if used else None)


@given(st.lists(st.lists(levels, min_size=4, max_size=9), min_size=1, max_size=4), st.randoms())
def test_the_order_that_readings_come_in_never_matters(
    record: list[list[int]], random: object
) -> None:
    rows = [(v, 10 * i, d) for d, day in enumerate(record) for i, v in enumerate(day)]
    before = mage(*zip(*rows, strict=True), sparse=True)
    random.shuffle(rows)  # type: ignore[attr-defined]

    after = mage(*zip(*rows, strict=True), sparse=True)

    assert after.value == pytest.approx(before.value, abs=1e-9)
    assert after.days == before.days


@pytest.mark.parametrize(
    ("day", "value"),
    [([140, 100, 180, 80, 140, 80], 70), ([100, 140, 80, 180, 80, 140], 80)],
)
def test_an_opening_swing_equal_to_the_sd_does_not_set_the_direction(
    day: list[float], value: float
) -> None:
    # The SD of these six is 40 in any order, and so is the first swing.
    alone, record = day_mage(day), mage(day, range(6), [1] * 6, sparse=True)

    assert alone is not None
    assert alone.value == pytest.approx(value, abs=1e-9)
    assert record.value == pytest.approx(value, abs=1e-9)


def test_results_of_the_same_minute_are_averaged_first() -> None:
    # 180 as 170 and 190 of one minute: A has eight results and is still A.
    values, minutes = [100, 170, 190, *A[2:]], [0, 1, 1, 2, 3, 4, 5, 6]

    found = mage(values, minutes, [1] * 8)

    assert found.value == pytest.approx(80, abs=1e-9)


def test_averaging_can_leave_a_day_too_short() -> None:
    found = mage(A, [0, 1, 2, 3, 4, 5, 5], [1] * 7)

    assert (found.value, found.days, found.short_days) == (None, 0, 1)


@pytest.mark.parametrize(
    ("results", "sparse", "days"), [(7, False, 1), (6, False, 0), (4, True, 1), (3, True, 0)]
)
def test_a_day_needs_seven_results_or_four_where_sparse_is_asked(
    results: int, sparse: bool, days: int
) -> None:
    found = mage(A[:results], np.arange(results), [1] * results, sparse=sparse)

    assert found.days == days
    assert found.sparse_days == (days if sparse else 0)


@pytest.mark.parametrize("off_scale", [-np.inf, np.inf])
def test_a_day_with_an_off_scale_result_gives_none(off_scale: float) -> None:
    values = [*A, *B[:6], off_scale]

    found = mage(values, np.arange(14), [1] * 7 + [2] * 7)

    assert (found.value, found.days, found.off_scale_days) == (80, 1, 1)


def test_an_off_scale_result_in_the_same_minute_as_another_drops_the_day_too() -> None:
    found = mage([*A, np.inf, -np.inf], [*range(7), 3, 3], [1] * 9)

    assert (found.value, found.off_scale_days) == (None, 1)


def test_no_readings_have_no_mage() -> None:
    found = mage([], [], [])

    assert (found.value, found.days, found.short_days) == (None, 0, 0)
