"""Parts of the page for an appointment alone: marks by goal, gaps, what was kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

import numpy as np

from app.domain.clock import Period, diary_day
from app.domain.levels import Level
from app.domain.person import Person
from app.review.counted import Counted, counted_of
from app.review.judging import goals_of
from app.review.lab import A1cValue
from app.review.marks_drawn import LEVELS, DrawnMarks
from app.review.plan_kept import Kept, kept_of
from app.review.record import Record
from app.review.schedule import ground_of, planned_in
from app.store.alongside import keeper_names
from app.store.diary import Diary
from app.store.kit_rows import kit_of
from app.store.people import persons_ever

GAP_DAYS = 3  # a shorter stretch without a test is an ordinary weekend: a rule of this diary
LAB_REACH_DAYS = 183  # of the last value before the period; older ones are another story


def by_goal(marks: DrawnMarks, counted: Counted, record: Record) -> DrawnMarks:
    """The same marks, where a reading beyond its own goal has at least the sign of a low or high.

    Published levels that lie further out stay as they are.
    """
    goals = goals_of(counted, record.targets)
    within = marks.level == LEVELS.index(Level.IN_RANGE)
    level = marks.level.copy()
    beyond = (
        (counted.ordered < goals.low, Level.LOW),
        (counted.ordered > goals.high, Level.HIGH),
    )
    for which, shown in beyond:
        level[within & np.isin(marks.id, counted.columns.id[which])] = LEVELS.index(shown)
    return replace(marks, level=level)


def counted_in(record: Record, period: Period, now: datetime) -> Counted:
    """The readings of a period that count."""
    found, _ = counted_of(record.between(period), record.person.unit, now=int(now.timestamp()))
    return found


def longest_gap(counted: Counted, period: Period, *, now: datetime) -> Period | None:
    """The longest stretch of whole days without a reading; None under three days, or without any.

    Days after today are no gap.
    """
    days = np.unique(counted.columns.day.astype(np.int64))
    if not days.size:
        return None
    last = min(period.last.toordinal(), now.toordinal())
    ends = np.concatenate(([period.first.toordinal() - 1], days, [last + 1]))
    free = np.diff(ends) - 1
    at = int(np.argmax(free))
    if free[at] < GAP_DAYS:
        return None
    first = int(ends[at]) + 1
    return Period(date.fromordinal(first), date.fromordinal(first + int(free[at]) - 1))


def plan_kept(diary: Diary, record: Record, period: Period, *, now: datetime) -> Kept | None:
    """What was kept of the plans in force in a period; None where nothing was planned."""
    ground = ground_of(diary, record.person)
    if not ground.plans:
        return None
    planned = planned_in(record, ground, period, now=now)
    return kept_of(planned) if planned else None


def control_tests(diary: Diary, person: Person, period: Period) -> int:
    """How many control tests were made with the person's kit in a period."""
    first, last = period.first.toordinal(), period.last.toordinal()
    kit = kit_of(diary)
    of_others = {each.id for each in kit.meters if each.person_id not in (None, person.id)}
    return sum(
        first <= diary_day(each.moment, person.day_start) <= last
        and each.person_id in (None, person.id)
        and each.meter not in of_others
        for each in kit.tests
    )


def labs_beside(labs: tuple[A1cValue, ...], period: Period, until: date) -> tuple[A1cValue, ...]:
    """The values of a period and of its visit, and the last one before it, by day."""
    before = [each for each in labs if 0 < (period.first - each.day).days <= LAB_REACH_DAYS]
    return (*before[-1:], *(each for each in labs if period.first <= each.day <= until))


def other_names(diary: Diary, person: Person) -> tuple[str, ...]:
    """Names of everybody else that the diary knows: its people and who writes in it."""
    names = {each.name for each in persons_ever(diary)} | set(keeper_names(diary))
    own = person.name.casefold()
    return tuple(sorted(each for each in names if each.strip() and each.casefold() != own))
