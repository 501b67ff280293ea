from __future__ import annotations

from itertools import pairwise

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from app.domain.marks import SLOTS
from app.review.day_axis import (
    DAY_MINUTES,
    from_start,
    hours_as_stretches,
    slot_stretches,
    times_round_clock,
)

MINUTES = st.lists(st.integers(0, 1439), min_size=1, max_size=40)


@given(st.dictionaries(st.sampled_from(SLOTS), st.integers(0, 1439)), st.integers(0, 6))
def test_the_slots_share_the_whole_axis_without_gap_or_overlap(
    usual: dict[object, int], start: int
) -> None:
    parts = slot_stretches(usual, start)  # type: ignore[arg-type]

    assert parts[0].start == 0
    assert parts[-1].end == DAY_MINUTES
    assert all(one.end == other.start for one, other in pairwise(parts))


@given(MINUTES)
def test_a_share_of_the_times_is_one_of_the_times_and_shares_rise(minutes: list[int]) -> None:
    counts = np.bincount(minutes, minlength=DAY_MINUTES)

    found = times_round_clock(counts, (0.05, 0.5, 0.95))

    assert found is not None
    assert list(found) == sorted(found)
    assert all(each % DAY_MINUTES in minutes for each in found)


def test_no_reading_has_no_time() -> None:
    assert times_round_clock(np.zeros(DAY_MINUTES, dtype=np.int64), (0.5,)) is None


def test_minutes_before_the_start_come_at_the_end_of_the_axis() -> None:
    minutes = np.array([239, 240, 0], dtype=np.int16)

    assert from_start(minutes, 4).tolist() == [1439, 0, 1200]


def test_hours_beside_each_other_are_one_stretch_also_where_the_axis_begins_later() -> None:
    found = hours_as_stretches((3, 4, 23), 4)

    assert [(each.start, each.end) for each in found] == [(0, 60), (1140, 1200), (1380, 1440)]
