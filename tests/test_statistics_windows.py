"""Periods and their slices: whole days, both ends included, nothing between two periods lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.windows import Period, days_ending, days_with_readings, slice_of

day_numbers = st.lists(st.integers(-50, 50), max_size=40).map(sorted)


def test_the_period_before_is_as_long_and_ends_the_day_before() -> None:
    found = Period(94, 100).before

    assert (found, found.days) == (Period(87, 93), 7)


def test_a_period_of_one_day_is_that_day() -> None:
    assert days_ending(100, 1) == Period(100, 100)


def test_impossible_periods_are_refused() -> None:
    with pytest.raises(ValueError, match="first=5, last=4"):
        Period(5, 4)
    with pytest.raises(ValueError, match="days=0"):
        days_ending(100, 0)


def test_an_unsorted_record_is_refused_not_sliced_wrong() -> None:
    with pytest.raises(ValueError, match="day 7 comes before 6"):
        slice_of([5, 7, 6], Period(1, 9))


def test_no_readings_give_an_empty_slice() -> None:
    assert slice_of([], Period(1, 9)) == slice(0, 0)
    assert days_with_readings([]) == 0


@given(day_numbers, st.integers(-60, 60), st.integers(1, 40))
def test_a_slice_holds_exactly_the_readings_of_its_days(
    days: list[int], last: int, length: int
) -> None:
    period = days_ending(last, length)

    found = days[slice_of(days, period)]

    assert found == [day for day in days if period.first <= day <= period.last]


@given(day_numbers, st.integers(-60, 60), st.integers(1, 40))
def test_two_periods_in_a_row_lose_nothing_between_them(
    days: list[int], last: int, length: int
) -> None:
    period = days_ending(last, length)

    assert slice_of(days, period.before).stop == slice_of(days, period).start


@given(st.lists(st.integers(-5, 5), max_size=20))
def test_days_with_readings_are_counted_once_in_any_order(days: list[int]) -> None:
    assert days_with_readings(days) == len(set(days))
    assert days_with_readings(sorted(days)) == len(set(days))
