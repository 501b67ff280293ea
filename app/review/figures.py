"""All figures of one person and period: what the window, the commands and the page show."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.marks import MARKS, SLOTS, Mark
from app.domain.person import Person, today_of
from app.domain.reading import Doubt
from app.review.counted import Counted, counted_of
from app.review.figure import Figure, Mean, Missing
from app.review.judging import Judgement, judged
from app.review.parts import (
    Evened,
    Excursions,
    Quartiles,
    Share,
    Spread,
    evened_of,
    excursions_of,
    is_low,
    mean_of,
    quartiles_of,
    sd_of,
    shares_of,
    spread_of,
)
from app.review.record import Record
from app.review.trusting import trust_sentences
from app.statistics.days import days_with_readings
from app.statistics.spells import low_spells
from app.statistics.trust import Verdict, trust_in_average


@dataclass(frozen=True, slots=True)
class OfMark:
    """The figures of one mark."""

    mark: Mark
    n: int
    mean: Mean | Missing
    sd: Figure
    median: Figure


@dataclass(frozen=True, slots=True)
class Without:
    """The same figures without some of the readings, to be set beside the whole.

    `days` is how many days with a reading there are left.
    """

    n: int
    left_out: int
    days: int
    mean: Mean | Missing
    evened: Evened | Missing
    sd: Figure
    shares: tuple[Share, ...]


@dataclass(frozen=True, slots=True)
class Trust:
    """How far to trust the average: the verdict and every reason in words."""

    verdict: Verdict
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Figures:
    """Every figure of a period; `left_out` and `doubt` count readings by reason."""

    person: Person
    unit: Unit
    period: Period
    n: int
    days_with_readings: int
    mean: Mean | Missing
    evened: Evened | Missing
    trust: Trust
    quartiles: Quartiles
    spread: Spread
    excursions: Excursions
    shares: tuple[Share, ...]
    judgement: Judgement
    by_mark: tuple[OfMark, ...]
    unmarked: int
    left_out: dict[str, int]
    doubt: dict[Doubt, int]
    without_doubt: Without
    without_rechecks: Without
    without_set_aside_days: Without


def figures(
    record: Record,
    period: Period,
    *,
    now: datetime,
    minimum: bool = True,
    by_todays_limits: bool = False,
) -> Figures:
    """Work out every figure of a period of whole diary days, both ends included.

    Parameters
    ----------
    minimum : bool, default True
        Show a figure only from enough readings; else from the mathematical minimum on.
    by_todays_limits : bool, default False
        Judge all readings by the goals in force today instead of on their own day.
    """
    person = record.person
    today = today_of(person, now).toordinal()
    counted, left_out = counted_of(record.between(period), person.unit, now=int(now.timestamp()))
    rechecks = low_spells(counted.columns.instant, is_low(counted)).recheck
    in_doubt = counted.columns.doubt != 0
    aside = on_set_aside_days(counted, record)
    whole = _without(counted, np.zeros(counted.n, dtype=np.bool_), minimum=minimum)

    def without(some: NDArray[np.bool_]) -> Without:
        return _without(counted, some, minimum=minimum) if some.any() else whole

    return Figures(
        person=person,
        unit=person.unit,
        period=period,
        n=counted.n,
        days_with_readings=whole.days,
        mean=mean_of(counted, minimum=minimum, interval=True),
        evened=whole.evened,
        trust=trust_of(counted),
        quartiles=quartiles_of(counted, minimum=minimum),
        spread=spread_of(counted, minimum=minimum),
        excursions=excursions_of(counted, minimum=minimum),
        shares=whole.shares,
        judgement=judged(counted, record.targets, by_limits_of=today if by_todays_limits else None),
        by_mark=_by_mark(counted, minimum=minimum),
        unmarked=counted.unmarked,
        left_out=left_out,
        doubt={
            reason: int(np.count_nonzero(counted.columns.doubt & reason))
            for reason in Doubt
            if (counted.columns.doubt & reason).any()
        },
        without_doubt=without(in_doubt),
        without_rechecks=without(rechecks),
        without_set_aside_days=without(aside),
    )


def of_all(found: Figures) -> Without:
    """The figures of all readings in the form of those without some, to be set beside them."""
    mean = found.mean
    return Without(
        n=found.n,
        left_out=0,
        days=found.days_with_readings,
        mean=mean if isinstance(mean, Missing) else replace(mean, low=None, high=None),
        evened=found.evened,
        sd=found.spread.sd,
        shares=found.shares,
    )


def on_set_aside_days(counted: Counted, record: Record) -> NDArray[np.bool_]:
    """Which readings lie on days that the person set aside: a sick day, a journey."""
    day = counted.columns.day
    found = np.zeros(counted.n, dtype=np.bool_)
    for span in record.set_aside:
        last = span.last_day if span.last_day is not None else date.max.toordinal()
        found |= (day >= span.first_day) & (day <= last)
    return found


def whole_time(record: Record, today: date) -> Period:
    """From the day of the first reading to that of the last; today where there is none."""
    days = record.columns.day
    if not days.size:
        return Period(today, today)
    return Period(date.fromordinal(int(days.min())), date.fromordinal(int(days.max())))


def trust_of(counted: Counted) -> Trust:
    """How far to trust the average of these readings, and every reason against it."""
    marks = np.bincount(counted.columns.mark, minlength=len(MARKS))
    found = trust_in_average(
        [int(count) for count in marks[: len(SLOTS)]],
        n=counted.n,
        days=days_with_readings(counted.columns.day),
        in_doubt=int(np.count_nonzero(counted.columns.doubt)),
        unmarked=counted.unmarked,
    )
    return Trust(found.verdict, trust_sentences(found))


def _by_mark(counted: Counted, *, minimum: bool) -> tuple[OfMark, ...]:
    found = []
    for code, mark in enumerate(MARKS):
        here = counted.columns.mark == code
        if here.any():
            part = counted.where(here)
            found.append(
                OfMark(
                    mark=mark,
                    n=part.n,
                    mean=mean_of(part, minimum=minimum),
                    sd=sd_of(part, minimum=minimum),
                    median=quartiles_of(part, minimum=minimum).median,
                )
            )
    return tuple(found)


def _without(counted: Counted, some: NDArray[np.bool_], *, minimum: bool) -> Without:
    rest = counted.where(~some)
    return Without(
        n=rest.n,
        left_out=counted.n - rest.n,
        days=days_with_readings(rest.columns.day),
        mean=mean_of(rest, minimum=minimum),
        evened=evened_of(rest),
        sd=sd_of(rest, minimum=minimum),
        shares=shares_of(rest, minimum=minimum),
    )
