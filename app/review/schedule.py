"""What is planned for a person and what became of it: plans, days and readings brought together."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, timezone, tzinfo

import numpy as np

from app.domain.clock import FUTURE_SECONDS, Period, zone_named
from app.domain.errors import Refused
from app.domain.marks import MARKS, Mark
from app.domain.person import Person
from app.domain.plans import (
    AFTER_MEAL_MINUTES,
    ANY_DAY,
    ELSEWHERE,
    MEALS,
    MOVE,
    NOT_EXPECTED_KINDS,
    SCHOOL_DAYS,
    SKIP,
    Plan,
    PlanRule,
    agreeing,
    is_school_day,
)
from app.domain.reading import STANDINGS, Standing
from app.domain.written import Event, Span
from app.review.record import Record
from app.statistics.schedule.expand import occurrences_of
from app.statistics.schedule.rule import Occurrence, Rule
from app.statistics.schedule.settle import Settled, settle
from app.statistics.schedule.walls import Places, wall_at, zone_at
from app.store.diary import Diary
from app.store.plans import begun_meals, plans_of, stretches_of, usual_times_ever
from app.store.spans import spans_between

BEGUN_TOLERANCE = 30  # minutes: two hours after the start of a meal, give or take half an hour
_BEGUN_RANK = 1 << 40
_BESIDE = 2  # days


@dataclass(frozen=True, slots=True)
class Planned:
    """A planned test: what the plan says of it, and what became of it.

    `key` names it for good, whatever the clocks do. `rule` and `plan` are None for the test that
    follows a meal that was said to begin. `reading_id` is the reading that settled it.
    """

    key: str
    settled: Settled
    plan: Plan | None
    rule: PlanRule | None
    mark: Mark | None
    words: str
    reading_id: int | None

    @property
    def wall(self) -> datetime:
        """When it is meant, naive, by the clocks of the place."""
        return self.settled.occurrence.wall

    @property
    def instant(self) -> int:
        """When it is meant, in UTC seconds."""
        return self.settled.occurrence.instant


@dataclass(frozen=True, slots=True)
class Ground:
    """What a schedule stands on: plans, days with a name, meals that began, where and when."""

    person: Person
    plans: tuple[Plan, ...]
    spans: tuple[Span, ...]
    meals: tuple[Event, ...]
    places: Places
    usual: dict[Mark, tuple[tuple[int, int], ...]]


@dataclass(frozen=True, slots=True)
class Source:
    """A rule as the schedule takes it, and where it comes from; no plan after a meal that began."""

    rule: Rule
    key: str
    plan: Plan | None
    kept: PlanRule | None


def ground_of(diary: Diary, person: Person) -> Ground:
    """Load what the schedule of a person stands on."""
    ever = (date.min.toordinal(), date.max.toordinal())
    return Ground(
        person=person,
        plans=plans_of(diary, person),
        spans=spans_between(diary, person, *ever),
        meals=begun_meals(diary, person),
        places=places_of(person, stretches_of(diary, person)),
        usual=usual_times_ever(diary, person),
    )


def planned_in(record: Record, ground: Ground, period: Period, *, now: datetime) -> list[Planned]:
    """Every planned test of whole diary days with its state, by time.

    The readings that count for it are all but those that are somebody else's; one that was set
    aside was a test all the same.
    """
    first, last = period.first.toordinal(), period.last.toordinal()
    start = record.person.day_start
    # Beside the period: a test of the evening before may be settled after midnight.
    rules = rules_of(ground)
    found = occurrences_of([each.rule for each in rules], first - 1, last + 2, places=ground.places)
    at = int(now.timestamp())
    ids, instants, marks = _readings(record, found, at)
    settled = settle(found, instants, marks, now=at, not_expected=not_expected_by(ground.spans))
    of_rule = {id(each.rule): each for each in rules}
    return [
        _planned(each, of_rule[id(each.occurrence.rule)], ids)
        for each in settled
        if first <= _diary_day(each.occurrence.wall, start) <= last
    ]


def places_of(person: Person, stretches: Sequence[tuple[int, int | None, str]]) -> Places:
    """Where the person is: at home, but for the stretches in another zone."""
    home = zone_named(person.zone)
    found: list[tuple[int, tzinfo]] = [(0, home)]
    for begins, ends, name in stretches:
        try:
            zone: tzinfo = zone_named(name)
        except Refused:  # a newer program's zone: home stands
            continue
        found = [each for each in found if each[0] < begins or each == found[0]]
        found.append((begins, zone))
        if ends is not None:
            found.append((ends, home))
    return found


def place_now(ground: Ground, now: datetime) -> tzinfo:
    """The zone of wherever the person is."""
    return zone_at(int(now.timestamp()), ground.places)


def rules_of(ground: Ground) -> list[Source]:
    """Every rule of every version, and every meal that began, as the schedule takes them."""
    found = [
        Source(
            schedule_rule(plan, rule, ground.usual, ground.spans), f"plan/{rule.uid}", plan, rule
        )
        for plan in ground.plans
        for rule in plan.rules
    ]
    found.extend(
        Source(_after(meal), f"after-meal/{meal.uid}", None, None) for meal in ground.meals
    )
    return found


def schedule_rule(
    plan: Plan,
    rule: PlanRule,
    usual: dict[Mark, tuple[tuple[int, int], ...]],
    spans: Sequence[Span] = (),
) -> Rule:
    """One rule of a plan as the schedule takes it."""
    by_kind: dict[str, set[datetime]] = {SKIP: set(), ELSEWHERE: set()}
    for each in rule.exceptions:
        by_kind.setdefault(each.kind, set()).add(each.wall)
    minutes: tuple[tuple[int, int], ...] = ()
    if rule.relative_to is not None:
        held = usual.get(rule.relative_to, ())
        minutes = tuple((day, minute + rule.offset_min) for day, minute in held)
        if minutes and minutes[0][0] > 0:  # before a usual time was said, that of the rule held
            minutes = ((0, rule.start.hour * 60 + rule.start.minute), *minutes)
    return Rule(
        key=rule.id,
        start=rule.start,
        recurs=rule.rrule,
        dates=tuple(date.fromisoformat(each[:8]).toordinal() for each in rule.dates),
        group=plan.id,
        rank=plan.from_day,
        label=MARKS.index(rule.mark) if rule.mark else None,
        zone=zone_named(rule.zone) if rule.zone else None,
        first_day=plan.from_day,
        last_day=plan.to_day,
        minutes=minutes,
        speaks_on=_speaks(rule.school, spans),
        agrees=frozenset(MARKS.index(mark) for mark in agreeing(rule.mark)) if rule.mark else None,
        before_min=rule.before_min,
        after_min=rule.after_min,
        skipped=frozenset(by_kind[SKIP]),
        elsewhere=frozenset(by_kind[ELSEWHERE]),
        moved={
            each.wall: each.to_wall
            for each in rule.exceptions
            if each.kind == MOVE and each.to_wall is not None
        },
    )


def not_expected_by(spans: Sequence[Span]) -> Callable[[Occurrence], str | None]:
    """Why a test is not expected on its day: the kind of the days with a name, else None.

    The test after a meal that somebody said had begun is expected on any day.
    """
    held = [span for span in spans if span.kind in NOT_EXPECTED_KINDS]

    def why(occurrence: Occurrence) -> str | None:
        if occurrence.rule.rank == _BEGUN_RANK:
            return None
        day = occurrence.wall.toordinal()
        return next((span.kind for span in held if span.covers(day)), None)

    return why


def _speaks(school: str, spans: Sequence[Span]) -> Callable[[int], bool] | None:
    if school == ANY_DAY:
        return None
    wanted = school == SCHOOL_DAYS
    named = [span for span in spans if span.kind in ("term", "holiday")]
    return lambda day: is_school_day(day, named) == wanted


def _after(meal: Event) -> Rule:
    """The test that follows a meal that was said to begin."""
    mark = MEALS.get(meal.text or "meal", Mark.AFTER_MEAL)
    due = wall_at(meal.start.instant + 60 * AFTER_MEAL_MINUTES, zone_named(meal.start.zone))
    offset = due.utcoffset() or timedelta(0)
    return Rule(
        key=-meal.id,
        start=due.replace(tzinfo=None),
        zone=timezone(offset),  # two real hours, also when the clocks change meanwhile
        rank=_BEGUN_RANK,
        label=MARKS.index(mark),
        agrees=frozenset(MARKS.index(each) for each in agreeing(mark)),
        before_min=BEGUN_TOLERANCE,
        after_min=BEGUN_TOLERANCE,
    )


def _readings(
    record: Record, found: Sequence[Occurrence], now: int
) -> tuple[list[int], list[int], list[int]]:
    """Ids, instants and marks of the readings that can settle these, as plain ints by time."""
    if not found:
        return [], [], []
    columns = record.columns
    since = min(each.opens for each in found)
    until = min(now + FUTURE_SECONDS, max(each.late_until for each in found))
    first, last = np.searchsorted(columns.instant, (since, until + 1)).tolist()
    near = slice(first, max(first, last))
    mine = columns.standing[near] != STANDINGS.index(Standing.NOT_MINE)
    ids, instants, marks = (
        getattr(columns, name)[near][mine].tolist() for name in ("id", "instant", "mark")
    )
    return ids, instants, marks


def _planned(settled: Settled, source: Source, ids: Sequence[int]) -> Planned:
    kept, label = source.kept, source.rule.label
    mark = kept.mark if kept else MARKS[label] if label is not None else None
    return Planned(
        key=f"{source.key}/{settled.occurrence.planned:%Y-%m-%dT%H:%M}",
        settled=settled,
        plan=source.plan,
        rule=kept,
        mark=mark,
        words=kept.words if kept else f"{mark.words if mark else 'test'}, the meal has begun",
        reading_id=None if settled.reading is None else ids[settled.reading],
    )


def _diary_day(wall: datetime, day_start: int) -> int:
    return wall.toordinal() - (wall.hour < day_start)
