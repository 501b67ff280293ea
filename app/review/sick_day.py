"""Sick days: glucose and ketones on one time axis, the gaps, and what the family's plan says.

Ketones are never mixed into a figure of glucose, and nothing here says what to take.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

from app.domain.cautions import CareTexts
from app.domain.clock import Period, diary_day, last_days, moment_now
from app.domain.follow_ups import SICK_GLUCOSE, SICK_KETONES, follow_rule
from app.domain.ketones import BANDS, BANDS_SOURCE, KetoneBand, Ketones, band_of
from app.domain.person import Person
from app.domain.written import Event, KetoneTest, Span
from app.review.counted import Counted, counted_of
from app.review.figure import Mean, Missing
from app.review.figures import Figures, Without, figures, of_all
from app.review.parts import mean_of
from app.review.record import Record
from app.review.seen import Seen, all_seen
from app.statistics.follow_ups.gaps import Gap, gaps_over
from app.store.diary import Diary
from app.store.follow_ups import follow_rules_of
from app.store.happenings import events_between, ketones_between
from app.store.people import care_texts
from app.store.spans import spans_between

SICK, SYMPTOM = "sick", "symptom"
FORTNIGHT = 14


@dataclass(frozen=True, slots=True)
class KetoneSeen:
    """One ketone test: when, as entered, its band, and its number where it has one."""

    instant: int
    wall: datetime
    result: Ketones
    band: KetoneBand | None

    @property
    def number(self) -> float | None:
        """The result of a blood test in mmol/L, of one off the scale its limit; else None."""
        return None if self.result.value is None else float(self.result.value)


@dataclass(frozen=True, slots=True)
class Checks:
    """The tests of one kind: how long ago the last one is, and the gaps over the plan's interval.

    `every_min` is that interval · `since_min` minutes from the last test to now, or to the end of
    the sick days; None while there is none.
    """

    n: int
    every_min: int
    since_min: int | None
    gaps: tuple[Gap, ...]


@dataclass(frozen=True, slots=True)
class SickDay:
    """Sick days from their beginning to their end, or to now.

    `start` and `end` are the ends of the axis (UTC seconds), with whole hours around what is drawn.
    The arrays are sorted and finite: `glucose_at`, `glucose` (in the person's unit, of a result off
    the scale its limit) with `glucose_seen` beside; `ketones_at`, `ketones` (blood, mmol/L) of
    those with a number, `ketone_tests` of all. `peak` is the highest ketone test. `whole` and
    `without` are figures of the fortnight with and without days that are set aside.
    """

    person: Person
    span: Span
    goes_on: bool
    start: int
    end: int
    glucose_at: NDArray[np.int64]
    glucose: NDArray[np.float64]
    glucose_seen: tuple[Seen, ...]
    ketones_at: NDArray[np.int64]
    ketones: NDArray[np.float64]
    ketone_tests: tuple[KetoneSeen, ...]
    symptoms: tuple[Event, ...]
    mean: Mean | Missing
    peak: KetoneSeen | None
    glucose_checks: Checks
    ketone_checks: Checks
    care: CareTexts
    fortnight: Period
    whole: Without
    without: Without
    bands: tuple[KetoneBand, ...] = BANDS
    bands_source: str = BANDS_SOURCE


def sick_days_of(diary: Diary, person: Person) -> tuple[Span, ...]:
    """All sick days of a person, the oldest first."""
    ever = (date.min.toordinal(), date.max.toordinal())
    return tuple(each for each in spans_between(diary, person, *ever) if each.kind == SICK)


def sick_day_of(
    diary: Diary, record: Record, *, now: datetime, day: date | None = None
) -> SickDay | None:
    """The sick days that a diary day lies in; without a day those that go on, else the last ones.

    None where there are none.
    """
    person = record.person
    today = diary_day(moment_now(now, person.zone), person.day_start)
    spans = sick_days_of(diary, person)
    if day is not None:
        spans = tuple(each for each in spans if each.covers(day.toordinal()))
    else:
        spans = tuple(each for each in spans if each.first_day <= today)
    if not spans:
        return None
    going = [each for each in spans if each.last_day is None]
    return _told(diary, record, (going or list(spans))[-1], now=now, today=today)


def _told(diary: Diary, record: Record, span: Span, *, now: datetime, today: int) -> SickDay:
    person, at = record.person, int(now.timestamp())
    last_day = max(span.first_day, today) if span.last_day is None else span.last_day
    goes_on = span.last_day is None or (span.last_day >= today and span.ends is None)
    counted, _ = counted_of(record.columns.between(span.first_day, last_day), person.unit, now=at)
    instant = counted.columns.instant
    counted = counted.where(
        (instant >= (span.begins or instant.min(initial=0)))
        & (instant <= (span.ends if span.ends is not None else instant.max(initial=0)))
    )
    tests = _ketones(ketones_between(diary, person, span.first_day, last_day), span)
    numbered = [each for each in tests if each.number is not None]
    events = events_between(diary, person, span.first_day, last_day)
    rules = follow_rules_of(diary, person)
    taken = counted.columns.instant.tolist()
    until = at if goes_on else (span.ends if span.ends is not None else None)
    ketones_taken = [each.instant for each in tests]
    fortnight = last_days(FORTNIGHT, date.fromordinal(last_day))
    found: Figures = figures(record, fortnight, now=now)
    start, end = _axis([*taken, *ketones_taken], span, until)
    return SickDay(
        person=person,
        span=span,
        goes_on=goes_on,
        start=start,
        end=end,
        glucose_at=counted.columns.instant,
        glucose=counted.values,
        glucose_seen=_seen(counted, person),
        ketones_at=np.array([each.instant for each in numbered], dtype=np.int64),
        ketones=np.array([each.number for each in numbered], dtype=np.float64),
        ketone_tests=tests,
        symptoms=tuple(each for each in events if each.kind == SYMPTOM),
        mean=mean_of(counted, minimum=True),
        peak=max(tests, key=_height, default=None),
        glucose_checks=_checks(taken, follow_rule(rules, SICK_GLUCOSE).seconds, until),
        ketone_checks=_checks(ketones_taken, follow_rule(rules, SICK_KETONES).seconds, until),
        care=care_texts(diary, person, day=last_day),
        fortnight=fortnight,
        whole=of_all(found),
        without=found.without_set_aside_days,
    )


def _ketones(tests: Sequence[KetoneTest], span: Span) -> tuple[KetoneSeen, ...]:
    found = []
    for each in tests:
        at = each.at.instant
        outside = (span.begins is not None and at < span.begins) or (
            span.ends is not None and at > span.ends
        )
        if not outside:
            result = Ketones(each.method, each.bound, each.value, each.level)
            found.append(KetoneSeen(at, each.at.local, result, band_of(result)))
    return tuple(found)


def _height(test: KetoneSeen) -> tuple[float, float]:
    """What the highest test is found by: its band, then its number; "HI" is above any number."""
    band = -1 if test.band is None else BANDS.index(test.band)
    return band, test.number if test.number is not None else float("inf")


def _checks(taken: Sequence[int], every_s: int, until: int | None) -> Checks:
    since = None if not taken or until is None else max(0, (until - taken[-1]) // 60)
    return Checks(len(taken), every_s // 60, since, gaps_over(taken, every_s))


def _seen(counted: Counted, person: Person) -> tuple[Seen, ...]:
    return all_seen(counted.columns, range(counted.n), person.day_start)


def _axis(taken: Sequence[int], span: Span, until: int | None) -> tuple[int, int]:
    """Whole hours around everything that is drawn, an hour at least."""
    ends = [*taken, *(each for each in (span.begins, until) if each is not None)]
    first, last = (min(ends), max(ends)) if ends else (0, 0)
    start = first - first % 3600
    return start, max(start + 3600, last + (-last) % 3600)
