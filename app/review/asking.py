"""A question answered: days with something against the others, in one slot, by one outcome."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.marks import MARKS, Mark
from app.domain.person import Person
from app.domain.question import Kind, Outcome, Question
from app.review.apart import Apart, apart
from app.review.compare import other_days
from app.review.counted import Counted
from app.review.days_named import By, DaysNamed, days_named
from app.review.figure import Mean, Missing
from app.review.nights import in_night, with_last_night
from app.review.parts import is_low, mean_of
from app.review.periods import Portion
from app.review.record import Record
from app.review.two_sides import is_high
from app.statistics.enough import TESTED_DAYS, shortfall
from app.statistics.proportion import share_of
from app.store.diary import Diary

Verdict = Literal["more_often", "less_often", "lower", "higher", "cannot_tell", "too_few"]


@dataclass(frozen=True, slots=True)
class OfDays:
    """One side: so many days or nights in all, so many of them tested.

    `found` counts the tested ones with at least one such reading, None where the mean is asked
    for; `n` and `mean` are of the readings looked at; `in_doubt` of them are in doubt.
    """

    name: str
    days: int
    tested: int
    n: int
    found: Portion | None
    mean: Mean | Missing
    in_doubt: int

    @property
    def untested(self) -> int:
        """Days or nights without a reading to look at."""
        return self.days - self.tested


@dataclass(frozen=True, slots=True)
class Answer:
    """Both sides and what can be said; `apart` is the difference of means, asked less others."""

    question: Question
    person: Person
    unit: Unit
    period: Period
    days: DaysNamed
    asked: OfDays
    others: OfDays
    apart: Apart | Missing | None
    verdict: Verdict


def answer(
    diary: Diary,
    record: Record,
    word: str,
    period: Period,
    *,
    outcome: Outcome,
    now: datetime,
    slot: Mark | None = None,
    by: By | None = None,
    same_weekdays: bool = False,
    minimum: bool = True,
) -> Answer:
    """Set the days that a word picks out against the other days of a period.

    A night is tested when any reading lies from 00:00 to 05:00, and belongs to the day before; any
    other slot of a day is tested when a reading has that mark.

    Parameters
    ----------
    word : str
        A tag, an event or a name of days.
    outcome : Outcome
        Days with a low, days with a high, or the mean.
    slot : Mark, optional
        Where to look; the whole day by default.
    by, same_weekdays, minimum
        As for `compare`.

    Raises
    ------
    Refused
        Nothing of that name is written in the period.
    """
    person = record.person
    named = days_named(diary, person, word, period, by=by)
    rest = other_days(period, named.days, same_weekdays=same_weekdays)
    counted, days = with_last_night(record, period, now=int(now.timestamp()))
    counted = replace(counted, columns=replace(counted.columns, day=days.astype(np.int32)))
    looked_at = counted.where(_in_slot(counted, slot))
    parts = [looked_at.where(np.isin(looked_at.columns.day, each)) for each in (named.days, rest)]
    sides = [
        _of_days(name, part, int(each.size), outcome, minimum=minimum)
        for name, part, each in zip(
            (named.words, "other days"), parts, (named.days, rest), strict=True
        )
    ]
    difference = None
    if outcome is Outcome.MEAN:
        difference = apart(parts[1], parts[0], minimum=minimum, by_slot=slot is None)
    return Answer(
        question=Question(
            kind=Kind.DAYS,
            what=(word,),
            slot=slot,
            outcome=outcome,
            first_day=period.first.toordinal(),
            last_day=period.last.toordinal(),
            same_weekdays=same_weekdays,
        ),
        person=person,
        unit=person.unit,
        period=period,
        days=named,
        asked=sides[0],
        others=sides[1],
        apart=difference,
        verdict=_of_means(difference)
        if difference is not None
        else shares_verdict(sides[0].found, sides[1].found),
    )


def shares_verdict(first: Portion | None, second: Portion | None) -> Verdict:
    """Whether one share is more often than the other: only where their ranges do not overlap."""
    if first is None or second is None:
        return "too_few"
    one, other = first.found, second.found
    if first.missing or second.missing or one.low is None or other.low is None:
        return "too_few"
    if one.high is None or other.high is None:
        return "too_few"
    if one.low > other.high:
        return "more_often"
    return "less_often" if one.high < other.low else "cannot_tell"


def _of_means(found: Apart | Missing) -> Verdict:
    return "too_few" if isinstance(found, Missing) else found.verdict


def _in_slot(counted: Counted, slot: Mark | None) -> NDArray[np.bool_]:
    if slot is None:
        return np.ones(counted.n, dtype=np.bool_)
    if slot is Mark.NIGHT:
        return in_night(counted.columns)
    return np.asarray(counted.columns.mark == MARKS.index(slot))


def _of_days(name: str, part: Counted, days: int, outcome: Outcome, *, minimum: bool) -> OfDays:
    tested = int(np.unique(part.columns.day).size)
    found = None
    if outcome is not Outcome.MEAN:
        hit = is_low(part) if outcome is Outcome.LOW else is_high(part)
        with_one = int(np.unique(part.columns.day[hit]).size)
        found = Portion(share_of(with_one, tested), _short_of(tested, minimum))
    return OfDays(
        name=name,
        days=days,
        tested=tested,
        n=part.n,
        found=found,
        mean=mean_of(part, minimum=minimum, interval=True),
        in_doubt=int(np.count_nonzero(part.columns.doubt)),
    )


def _short_of(tested: int, minimum: bool) -> Missing | None:
    if not tested:
        return Missing("none was tested")
    short = shortfall(TESTED_DAYS, there=tested) if minimum else None
    return None if short is None else Missing(f"needs {short.needed} tested; there are {tested}")
