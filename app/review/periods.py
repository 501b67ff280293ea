"""The same figures for several periods that end on one day, to be set side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

import numpy as np

from app.domain.clock import Period, last_days
from app.domain.marks import MARKS, Mark
from app.review.counted import counted_of
from app.review.figure import Figure, Mean, Missing
from app.review.figures import Figures
from app.review.marks_drawn import HIGH_LEVELS, LOW_LEVELS
from app.review.parts import Evened, Share, evened_of, mean_of, quartiles_of, sd_of, shares_of
from app.review.record import Record
from app.statistics.days import days_with_readings
from app.statistics.proportion import Proportion, share_of

# The spans that a review offers: common practice, no source.
USUAL_DAYS = (7, 14, 30, 60, 90)
_WAKING = MARKS.index(Mark.WAKING)


@dataclass(frozen=True, slots=True)
class Portion:
    """So many of n beyond a line, with the share's Wilson limits, or why no share is shown."""

    found: Proportion
    missing: Missing | None


@dataclass(frozen=True, slots=True)
class OfPeriod:
    """The figures of one period; `below` and `above` the levels from 3.9 to 10.0 (70 to 180)."""

    period: Period
    n: int
    days_with_readings: int
    mean: Mean | Missing
    evened: Evened | Missing
    sd: Figure
    below: Portion
    above: Portion
    waking_n: int
    waking_median: Figure


def periods_side_by_side(
    record: Record,
    ending: date,
    *,
    now: datetime,
    lengths: Sequence[int] = USUAL_DAYS,
    minimum: bool = True,
) -> tuple[OfPeriod, ...]:
    """Work out the figures of the periods of so many days that end on one day, the shortest first.

    Parameters
    ----------
    record : Record
        Whose readings.
    ending : date
        The last diary day of every one of them, included.
    now : datetime
        Aware; what lies in the future is left out.
    lengths : sequence of int
        In whole diary days.
    minimum : bool, default True
        Show a figure only from enough readings; else from the mathematical minimum on.
    """
    periods = (last_days(days, ending) for days in lengths)
    return tuple(_of_period(record, period, now, minimum=minimum) for period in periods)


def _of_period(record: Record, period: Period, now: datetime, *, minimum: bool) -> OfPeriod:
    at = int(now.timestamp())
    counted, _ = counted_of(record.between(period), record.person.unit, now=at)
    shares = shares_of(counted, minimum=minimum)
    waking = counted.where(counted.columns.mark == _WAKING)
    return OfPeriod(
        period=period,
        n=counted.n,
        days_with_readings=days_with_readings(counted.columns.day),
        mean=mean_of(counted, minimum=minimum),
        evened=evened_of(counted),
        sd=sd_of(counted, minimum=minimum),
        below=_portion(shares[:LOW_LEVELS], counted.n),
        above=_portion(shares[HIGH_LEVELS:], counted.n),
        waking_n=waking.n,
        waking_median=quartiles_of(waking, minimum=minimum).median,
    )


def of_figures(found: Figures) -> OfPeriod:
    """The figures of a period that were worked out already, as those of the others are given."""
    waking = next((each for each in found.by_mark if each.mark is Mark.WAKING), None)
    mean = found.mean
    return OfPeriod(
        period=found.period,
        n=found.n,
        days_with_readings=found.days_with_readings,
        mean=mean if isinstance(mean, Missing) else replace(mean, low=None, high=None),
        evened=found.evened,
        sd=found.spread.sd,
        below=_portion(found.shares[:LOW_LEVELS], found.n),
        above=_portion(found.shares[HIGH_LEVELS:], found.n),
        waking_n=waking.n if waking else 0,
        waking_median=waking.median if waking else Missing("there are no readings"),
    )


def _portion(shares: Sequence[Share], n: int) -> Portion:
    count = int(np.sum([share.found.count for share in shares]))
    return Portion(share_of(count, n), shares[0].missing)
