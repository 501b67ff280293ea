from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.memory_room import memory_room


def test_the_place_of_the_first_result_after_a_copy_is_taken_after_so_many_more() -> None:
    found = memory_room(10, 100, list(range(60, 100)) * 2, since=60)

    assert (found.per_day, found.days, found.full_day, found.missing) == (2.0, 28, 105, ())


@pytest.mark.parametrize(
    ("capacity", "copied", "since", "missing"),
    [
        (None, 100, 60, ("capacity",)),
        (250, None, 60, ("copy",)),
        (250, 100, 94, ("pace",)),
        (None, None, None, ("capacity", "copy")),
    ],
)
def test_what_is_not_known_is_named_and_no_day_is_given(
    capacity: int | None, copied: int | None, since: int | None, missing: tuple[str, ...]
) -> None:
    found = memory_room(capacity, copied, list(range(60, 100)), since=since)

    assert found.missing == missing
    assert found.full_day is None


def test_a_meter_that_was_not_used_runs_over_on_no_day() -> None:
    found = memory_room(250, 100, [10, 11], since=10)

    assert (found.full_day, found.per_day, found.missing) == (None, 0.0, ())


def test_a_memory_without_a_place_is_a_mistake() -> None:
    with pytest.raises(ValueError, match="capacity=0"):
        memory_room(0, 100, [], since=1)


@given(st.integers(1, 2000), st.lists(st.integers(50, 99), min_size=1))
def test_more_room_is_never_full_earlier(capacity: int, days: list[int]) -> None:
    less = memory_room(capacity, 100, days, since=50).full_day
    more = memory_room(capacity + 1, 100, days, since=50).full_day

    assert (less is None) == (more is None)
    assert less is None or more is None or 100 <= less <= more
