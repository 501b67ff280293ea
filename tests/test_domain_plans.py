"""Which marks may be a planned test, and which days are days of school."""

from __future__ import annotations

from datetime import date
from uuid import UUID

import pytest

from app.domain.marks import MARKS, Mark
from app.domain.plans import agreeing, is_school_day
from app.domain.written import Span


@pytest.mark.parametrize("mark", [each for each in MARKS if each is not Mark.NONE])
def test_a_reading_without_a_mark_or_with_the_same_one_agrees(mark: Mark) -> None:
    assert {mark, Mark.NONE} <= agreeing(mark)


def test_before_a_meal_agrees_with_the_meal_that_was_planned_and_after_it_never() -> None:
    assert Mark.BEFORE_MEAL in agreeing(Mark.BEFORE_LUNCH)
    assert Mark.BEFORE_LUNCH in agreeing(Mark.BEFORE_MEAL)
    assert Mark.FASTING in agreeing(Mark.WAKING)
    assert Mark.AFTER_LUNCH in agreeing(Mark.AFTER_MEAL)
    for mark in MARKS:
        if mark.is_before_meal:
            assert not any(each.is_after_meal for each in agreeing(mark))
    assert Mark.BEFORE_LUNCH not in agreeing(Mark.BEFORE_EVENING_MEAL)


def test_a_test_without_a_mark_agrees_with_all() -> None:
    assert agreeing(None) == frozenset(MARKS)


def span(kind: str, first: str, last: str) -> Span:
    ends = (date.fromisoformat(first).toordinal(), date.fromisoformat(last).toordinal())
    return Span(1, UUID(int=1), kind, None, *ends, set_aside=False)


def test_school_is_from_monday_to_friday_in_a_term_and_in_no_holiday() -> None:
    monday = date(2026, 3, 2).toordinal()
    week = range(monday, monday + 7)
    term = span("term", "2026-03-03", "2026-03-05")
    holiday = span("holiday", "2026-03-04", "2026-03-04")

    assert [is_school_day(day, ()) for day in week] == [True] * 5 + [False] * 2
    assert [is_school_day(day, (holiday,)) for day in week[:5]] == [True, True, False, True, True]
    assert [is_school_day(day, (term, holiday)) for day in week[:5]] == [
        False,
        True,
        False,
        True,
        False,
    ]
