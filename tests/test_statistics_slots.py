"""Figures by mark and the evened average: which readings are in them, and what always holds."""

from __future__ import annotations

import statistics

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.ranks import COUNT_FROM
from app.statistics.slots import evened_average, summaries_by_mark

NIGHT, NO_MARK = 7, 14
tenths = st.integers(11, 6000).map(lambda tenth: tenth / 10)
marked = st.lists(
    st.tuples(st.one_of(tenths, st.floats(1, 600)), st.integers(0, NO_MARK)), max_size=40
)


def test_no_readings_have_no_summary_and_no_average() -> None:
    found = evened_average([], [], no_mark=NO_MARK)

    assert summaries_by_mark([], []) == ()
    assert (found.value, found.slots, found.smallest_n, found.outside) == (None, (), 0, 0)


def test_one_slot_is_not_evened() -> None:
    found = evened_average([100, 110], [3, 3], no_mark=NO_MARK)

    assert (found.value, found.slots, found.smallest_n) == (None, (3,), 2)


def test_night_and_unmarked_readings_stay_outside_and_are_counted() -> None:
    values, marks = [100, 200, 300, 400, 500], [0, 6, NIGHT, NO_MARK, NO_MARK]

    found = evened_average(values, marks, no_mark=NO_MARK)

    assert found.value == 150
    assert (found.outside, found.unmarked) == (3, 2)


def test_the_slots_to_be_evened_can_be_chosen() -> None:
    found = evened_average([100, 200, 300], [0, 6, NIGHT], no_mark=NO_MARK, slots=(6, NIGHT))

    assert (found.value, found.slots, found.outside) == (250, (6, NIGHT), 1)


def test_a_negative_code_is_refused() -> None:
    with pytest.raises(ValueError, match="marks holds -1"):
        summaries_by_mark([100], [-1])
    with pytest.raises(ValueError, match="no_mark=-1"):
        evened_average([100], [0], no_mark=-1)


@given(marked, st.randoms(use_true_random=False))
def test_summaries_are_those_of_a_plain_loop_whatever_the_order(
    marked: list[tuple[float, int]], random: object
) -> None:
    groups: dict[int, list[float]] = {}
    for value, mark in marked:
        groups.setdefault(mark, []).append(value)
    random.shuffle(marked)  # type: ignore[attr-defined]

    found = summaries_by_mark([v for v, _ in marked], [m for _, m in marked])

    assert [summary.mark for summary in found] == sorted(groups)
    for summary in found:
        group = groups[summary.mark]
        assert summary.n == len(group)
        assert summary.mean == pytest.approx(statistics.fmean(group), rel=1e-12)
        assert summary.median == pytest.approx(statistics.median(group), rel=1e-12)
        sd = statistics.stdev(group) if len(group) > 1 else None
        assert summary.sd == pytest.approx(sd, abs=1e-9)


@given(marked)
def test_the_evened_average_is_the_mean_of_slot_means_and_everything_is_accounted_for(
    marked: list[tuple[float, int]],
) -> None:
    found = evened_average([v for v, _ in marked], [m for _, m in marked], no_mark=NO_MARK)

    slots = {m: [v for v, mark in marked if mark == m] for _, m in marked if m < 7}
    means = [statistics.fmean(group) for group in slots.values()]
    expected = statistics.fmean(means) if len(means) > 1 else None
    assert found.value == pytest.approx(expected, abs=1e-9)
    assert found.slots == tuple(sorted(slots))
    assert found.smallest_n == min((len(group) for group in slots.values()), default=0)
    assert found.outside + sum(len(group) for group in slots.values()) == len(marked)


def test_a_long_record_has_the_same_medians_however_many_different_values() -> None:
    rng = np.random.default_rng(2)
    marks = rng.integers(0, 15, 4 * COUNT_FROM)
    measured = rng.lognormal(2, 0.3, marks.size)

    for values in (np.round(measured, 1), measured):
        for summary in summaries_by_mark(values, marks):
            group = values[marks == summary.mark]

            assert summary.median == pytest.approx(np.median(group), abs=1e-9)
            assert summary.sd == pytest.approx(np.std(group, ddof=1), rel=1e-9)
