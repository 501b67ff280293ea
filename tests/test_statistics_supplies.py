from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.supplies import runs_out, strips_left, told_from, weekday_before

_times = st.lists(st.integers(0, 1000), max_size=60)


@given(_times, st.integers(0, 100))
def test_left_and_used_add_up_to_what_there_was(used: list[int], opened: int) -> None:
    found = strips_left(opened, used)

    assert found.left is not None
    assert found.left - found.beyond + found.used == opened
    assert min(found.left, found.beyond) == 0


@given(_times, st.integers(0, 100), st.integers(0, 1000))
def test_a_count_wipes_out_what_was_used_before_it(used: list[int], count: int, at: int) -> None:
    found = strips_left(50, used, counted=(at, count))

    assert found.used == sum(each > at for each in used)


def test_without_a_number_nobody_knows_how_many_are_left() -> None:
    assert strips_left(None, [1, 2]).left is None
    assert strips_left(None, [1, 2], counted=(1, 10)).left == 9


def test_wasted_strips_are_gone_too() -> None:
    assert strips_left(50, [5, 6], wasted=((7, 3),)).left == 45
    assert strips_left(50, [5, 6], counted=(8, 40), wasted=((7, 3),)).left == 40


def test_a_pace_needs_a_week_and_looks_at_four() -> None:
    used = [100 + day for day in range(40) for _ in range(2)]

    assert runs_out(10, used, today=106, since=100).per_day is None
    assert runs_out(10, used, today=107, since=100).runs_out == 112
    assert runs_out(10, [*used, *[60] * 999], today=140, since=60).per_day == 2.0


def test_strips_that_nobody_uses_never_run_out() -> None:
    assert runs_out(10, [], today=200, since=100).runs_out is None


def test_none_left_run_out_today() -> None:
    assert runs_out(0, [100] * 20, today=110, since=100).runs_out == 110


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.integers(1, 30))
def test_it_is_told_on_a_weekday_and_never_later(day: date, lead: int) -> None:
    told = told_from(day.toordinal(), lead=lead)
    by = weekday_before(day.toordinal())

    assert date.fromordinal(told).weekday() < 5
    assert 0 <= day.toordinal() - lead - told <= 2
    assert date.fromordinal(by).weekday() < 5
    assert 1 <= day.toordinal() - by <= 3


def test_counts_below_nothing_are_refused() -> None:
    with pytest.raises(ValueError, match="opened_with"):
        strips_left(-1, [])
