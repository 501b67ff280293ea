"""The plan beside what was done: a day as a timeline, weeks as a grid of slots, what is due now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np

from app.domain.clock import Period, diary_day, moment_at
from app.domain.marks import MARKS, SLOTS, Mark
from app.domain.plans import Plan
from app.domain.reading import STANDINGS, Standing
from app.review.plan_gaps import PlanGaps, gaps_of
from app.review.plan_kept import Count, Kept, kept_of
from app.review.record import Record
from app.review.schedule import Ground, Planned, place_now, planned_in
from app.review.testmap import DEFAULT_DAYS, map_of_tests
from app.statistics.schedule.settle import State
from app.statistics.schedule.wake import next_wake_up

AHEAD_HOURS = 24  # what is to come is listed so far ahead
GRID_DAYS = 15


@dataclass(frozen=True, slots=True)
class Timeline:
    """One diary day: its planned tests by time, with their states."""

    day: date
    tests: tuple[Planned, ...]
    kept: Kept


@dataclass(frozen=True, slots=True)
class GridRow:
    """A slot over days: what was planned on each, and tests that nobody planned.

    `mark` is None for planned tests without one. `extras` are the tests of a day that settled
    nothing.
    """

    mark: Mark | None
    cells: tuple[tuple[Planned, ...], ...]
    extras: tuple[int, ...]
    count: Count | None  # None where nothing was planned


@dataclass(frozen=True, slots=True)
class PlanGrid:
    """Whole days of the plan: the versions in force in them, a row for each slot, what was kept.

    `in_force` are the versions of today, the newest last, and `versions` how many there have been.
    """

    period: Period
    today: date
    in_force: tuple[Plan, ...]
    versions: int
    rows: tuple[GridRow, ...]
    kept: Kept
    gaps: PlanGaps | None


@dataclass(frozen=True, slots=True)
class DueNow:
    """What is due, what is to come within a day, and what passed today with nothing written.

    `wake_up` is the instant (UTC seconds) at which the first of it changes by time alone.
    """

    at: datetime
    due: tuple[Planned, ...]
    to_come: tuple[Planned, ...]
    passed: tuple[Planned, ...]
    wake_up: int | None


def today_there(ground: Ground, now: datetime) -> date:
    """The diary day by the clocks of wherever the person is."""
    local = now.astimezone(place_now(ground, now))
    offset = int((local.utcoffset() or timedelta(0)).total_seconds() // 60)
    moment = moment_at(local.replace(tzinfo=None), ground.person.zone, offset)
    return date.fromordinal(diary_day(moment, ground.person.day_start))


def timeline_of(record: Record, ground: Ground, day: date, *, now: datetime) -> Timeline:
    """The planned tests of one diary day, with their states."""
    tests = tuple(planned_in(record, ground, Period(day, day), now=now))
    return Timeline(day, tests, kept_of(tests))


def due_now(record: Record, ground: Ground, *, now: datetime) -> DueNow:
    """What is due at a time, by the readings written up to then."""
    today = today_there(ground, now)
    period = Period(today - timedelta(days=1), today + timedelta(days=2))
    tests = planned_in(record, ground, period, now=now)
    ahead = int(now.timestamp()) + AHEAD_HOURS * 3600
    start = record.person.day_start
    return DueNow(
        at=now,
        due=tuple(each for each in tests if each.settled.state is State.DUE),
        to_come=tuple(
            each for each in tests if each.settled.state is State.UPCOMING and each.instant <= ahead
        ),
        passed=tuple(
            each
            for each in tests
            if each.settled.state is State.MISSED
            and each.wall.toordinal() - (each.wall.hour < start) == today.toordinal()
        ),
        wake_up=next_wake_up((each.settled for each in tests), now=int(now.timestamp())),
    )


def grid_of(record: Record, ground: Ground, period: Period, *, now: datetime) -> PlanGrid:
    """Whole diary days as a grid of slots and days."""
    tests = planned_in(record, ground, period, now=now)
    today = today_there(ground, now)
    kept = kept_of(tests)
    ordinal = today.toordinal()
    seen = map_of_tests(record, Period(today - timedelta(days=DEFAULT_DAYS - 1), today), now=now)
    return PlanGrid(
        period=period,
        today=today,
        in_force=tuple(plan for plan in ground.plans if plan.holds_on(ordinal)),
        versions=len(ground.plans),
        rows=_rows(record, period, tests, kept),
        kept=kept,
        gaps=gaps_of(ground, today, tests=seen),
    )


def _rows(
    record: Record, period: Period, tests: Sequence[Planned], kept: Kept
) -> tuple[GridRow, ...]:
    first, start = period.first.toordinal(), record.person.day_start
    cells: dict[Mark | None, list[list[Planned]]] = {
        mark: [[] for _ in range(period.days)] for mark in SLOTS
    }
    for each in tests:
        place = each.wall.toordinal() - (each.wall.hour < start) - first
        row = cells.setdefault(each.mark, [[] for _ in range(period.days)])
        row[place].append(each)
    extras = _extras(record, period, tests)
    return tuple(
        GridRow(
            mark,
            tuple(tuple(day) for day in days),
            extras.get(mark, (0,) * period.days) if mark else (0,) * period.days,
            kept.by_mark.get(mark),
        )
        for mark, days in cells.items()
    )


def _extras(
    record: Record, period: Period, tests: Sequence[Planned]
) -> dict[Mark, tuple[int, ...]]:
    """By mark the tests of each day that were in no plan."""
    columns = record.between(period)
    settled = [each.reading_id for each in tests if each.reading_id is not None]
    mine = columns.standing != STANDINGS.index(Standing.NOT_MINE)
    free = mine & ~np.isin(columns.id, settled)
    first = period.first.toordinal()
    found = {}
    for code in np.unique(columns.mark[free]).tolist():
        days = columns.day[free & (columns.mark == code)] - first
        found[MARKS[code]] = tuple(np.bincount(days, minlength=period.days).tolist())
    return found
