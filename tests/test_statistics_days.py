from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from app.statistics.days import days_with_readings


def test_no_readings_are_on_no_day() -> None:
    assert days_with_readings([]) == 0


@given(st.lists(st.integers(-5, 5), max_size=20))
def test_days_with_readings_are_counted_once_in_any_order(days: list[int]) -> None:
    assert days_with_readings(days) == len(set(days))
    assert days_with_readings(sorted(days)) == len(set(days))
