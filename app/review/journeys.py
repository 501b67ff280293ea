"""What was written about glucose before and during journeys, beside the rule that a person chose.

It lists what is there and what is not. It never says that somebody may drive.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

import numpy as np

from app.domain.clock import Period
from app.domain.driving import DrivingRule, driving_rules
from app.domain.glucose import LimitPair
from app.domain.levels import LOW_BELOW
from app.domain.person import Person
from app.domain.written import Event
from app.review.counted import Counted, counted_of
from app.review.record import Record
from app.review.seen import Seen, seen_at
from app.store.diary import Diary
from app.store.happenings import events_between
from app.store.settings import DRIVING, setting_of

JOURNEY = "journey"
_BEFORE_SECONDS = 86_400  # a test further back says nothing about a journey (a rule of this diary)


@dataclass(frozen=True, slots=True)
class Tested:
    """A reading beside a journey: `minutes` after its start, negative before."""

    seen: Seen
    instant: int
    minutes: int


@dataclass(frozen=True, slots=True)
class Journey:
    """A journey with the tests around it.

    `before` is the last test up to its start, of the day before it · `during` the tests on the way,
    none where no end was written · `stretch` the longest part of it without a test, as instants ·
    `low`, `back` the last low within the day before the start and the first test after it that is
    none.
    """

    event: Event
    start: int
    end: int | None
    before: Tested | None
    during: tuple[Tested, ...]
    stretch: tuple[int, int] | None
    low: Tested | None
    back: Tested | None


@dataclass(frozen=True, slots=True)
class Journeys:
    """The journeys of a period, by time, and the rule they are held against, if any."""

    person: Person
    period: Period
    rule: DrivingRule | None
    journeys: tuple[Journey, ...]


def rule_of(diary: Diary, person: Person) -> DrivingRule | None:
    """The rule that a person chose; None where none was chosen or it is not known here."""
    held = setting_of(diary, person, DRIVING)
    key = held.get("key") if isinstance(held, dict) else None
    return next((rule for rule in driving_rules() if rule.key == key), None)


def journeys_of(diary: Diary, record: Record, period: Period, *, now: datetime) -> Journeys:
    """The journeys that begin in a period of whole diary days, both ends included."""
    person, rule = record.person, rule_of(diary, record.person)
    first, last = period.first.toordinal(), period.last.toordinal()
    columns = record.columns.between(max(1, first - 2), last + 2)
    counted, _ = counted_of(columns, person.unit, now=int(now.timestamp()))
    events = [each for each in events_between(diary, person, first, last) if each.kind == JOURNEY]
    under = rule.under if rule and rule.under else LOW_BELOW
    return Journeys(
        person, period, rule, tuple(_journey(counted, each, under, person) for each in events)
    )


def _journey(counted: Counted, event: Event, under: LimitPair, person: Person) -> Journey:
    instant = counted.columns.instant
    start, end = event.start.instant, event.end
    first, at = np.searchsorted(instant, (start - _BEFORE_SECONDS, start + 1)).tolist()
    until = at if end is None else int(np.searchsorted(instant, end + 1))

    def tested(place: int) -> Tested:
        seconds = int(instant[place])
        return Tested(
            seen_at(counted.columns, place, person.day_start), seconds, (seconds - start) // 60
        )

    during = tuple(tested(place) for place in range(at, until))
    low = np.flatnonzero(counted.ordered[first:at] < counted.in_unit_entered(under)[first:at])
    last_low = first + int(low[-1]) if low.size else None
    after = last_low + 1 if last_low is not None and last_low + 1 < at else None
    return Journey(
        event=event,
        start=start,
        end=end,
        before=tested(at - 1) if at > first else None,
        during=during,
        stretch=None if end is None else _longest([start, *(x.instant for x in during), end]),
        low=None if last_low is None else tested(last_low),
        back=None if after is None else tested(after),
    )


def _longest(turns: Sequence[int]) -> tuple[int, int]:
    return max(pairwise(turns), key=lambda pair: pair[1] - pair[0])
