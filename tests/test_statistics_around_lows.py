from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.around_lows import highs_after_lows, nearest_beside, value_after
from app.statistics.spells import CHAIN_SECONDS, low_spells, spell_ends

LOW, MIDDLE, HIGH = 0, 1, 2
STEPS = st.lists(st.tuples(st.integers(0, 9000), st.sampled_from((LOW, MIDDLE, HIGH))), max_size=40)


def told_slowly(times: list[int], lows: list[bool]) -> list[tuple[list[int], bool]]:
    """The spells by their definition, reading by reading: members, and whether one closed it."""
    spells: list[tuple[list[int], bool]] = []
    for place, (time, low) in enumerate(zip(times, lows, strict=True)):
        members, closed = spells[-1] if spells else ([], True)
        if members and not closed and time - times[members[-1]] <= 3600:
            spells[-1] = ([*members, place], not low)
        elif low:
            spells.append(([place], False))
    return spells


def as_arrays(steps: list[tuple[int, int]]) -> tuple[list[int], list[bool], list[bool]]:
    times = np.cumsum([step for step, _ in steps], dtype=np.int64).tolist()
    return times, [kind == LOW for _, kind in steps], [kind == HIGH for _, kind in steps]


@given(STEPS)
def test_spells_are_those_of_a_slow_reading_of_their_definition(
    steps: list[tuple[int, int]],
) -> None:
    times, lows, _ = as_arrays(steps)
    slow = told_slowly(times, lows)

    fast, ends = low_spells(times, lows), spell_ends(times, lows)

    assert CHAIN_SECONDS == 3600
    assert np.flatnonzero(fast.begins).tolist() == [members[0] for members, _ in slow]
    assert np.flatnonzero(fast.recheck).tolist() == [
        place for members, _ in slow for place in members[1:]
    ]
    assert ends.closed.tolist() == [closed for _, closed in slow]
    assert ends.last_low.tolist() == [
        members[-2] if closed else members[-1] for members, closed in slow
    ]


@given(STEPS, st.integers(0, 20_000))
def test_highs_after_lows_are_those_of_a_slow_search(
    steps: list[tuple[int, int]], within: int
) -> None:
    times, lows, highs = as_arrays(steps)
    slow = []
    for high, time in enumerate(times):
        earlier = [place for place, low in enumerate(lows) if low and times[place] < time]
        if highs[high] and earlier and time - times[earlier[-1]] <= within:
            slow.append((high, earlier[-1], time - times[earlier[-1]]))

    found = highs_after_lows(times, lows, highs, within=within)

    assert list(zip(found.high, found.low, found.seconds, strict=True)) == slow


@given(STEPS, st.integers(0, 20_000))
def test_a_value_after_is_any_later_reading_in_time(
    steps: list[tuple[int, int]], within: int
) -> None:
    times, _, _ = as_arrays(steps)

    found = value_after(times, range(len(times)) if times else [], within=within)

    assert found.tolist() == [any(0 < other - one <= within for other in times) for one in times]


@given(
    st.lists(st.integers(-9000, 9000), max_size=20),
    st.lists(st.integers(-9000, 9000), max_size=20).map(sorted),
    st.integers(0, 9000),
)
def test_the_nearest_test_is_that_of_a_slow_search(
    times: list[int], tests: list[int], within: int
) -> None:
    found = nearest_beside(times, tests, within=within).tolist()

    for time, place in zip(times, found, strict=True):
        gaps = [abs(test - time) for test in tests]
        if not gaps or min(gaps) > within:
            assert place == -1
        else:
            later = max(test for test, gap in zip(tests, gaps, strict=True) if gap == min(gaps))
            assert tests[place] == later


def test_four_hours_after_a_low_are_the_last_moment_that_follows_it() -> None:
    for seconds, highs in ((4 * 3600, [1]), (4 * 3600 + 1, [])):
        assert highs_after_lows([0, seconds], [True, False], [False, True]).high.tolist() == highs


def test_what_steps_back_is_refused() -> None:
    with pytest.raises(ValueError, match="step back"):
        highs_after_lows([60, 0], [True, False], [False, True])
    with pytest.raises(ValueError, match="step back"):
        nearest_beside([0], [60, 0])
    with pytest.raises(ValueError, match="differ in length"):
        highs_after_lows([0, 60], [True, False], [True])
