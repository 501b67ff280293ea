"""Everything that the Figures page shows of a period, worked out in one go."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

import numpy as np

from app.domain.clock import Period
from app.review.by_mark import MarkRows, mark_rows
from app.review.counted import counted_of
from app.review.figures import Figures, figures
from app.review.meals import Meal, around_meals
from app.review.periods import USUAL_DAYS, OfPeriod, of_figures, periods_side_by_side
from app.review.record import Record

_AT_ONCE_UP_TO = 10_000  # readings whose page takes less than a tenth of a second (measured)


@dataclass(frozen=True, slots=True)
class FiguresShown:
    """The figures of a period, what stands beside them, and when the last reading was.

    `doubtful` says whether readings in doubt are in `figures`; `whole` are the figures with them,
    whatever was asked.
    """

    doubtful: bool
    figures: Figures
    whole: Figures
    marks: MarkRows
    periods: tuple[OfPeriod, ...]
    meals: tuple[Meal, ...]
    last_day: date | None


def figures_shown(
    record: Record, period: Period, *, now: datetime, doubtful: bool = True
) -> FiguresShown:
    """Work out the page of a period, with the readings in doubt or without them."""
    whole = figures(record, period, now=now)
    kept = record if doubtful else _without_doubtful(record)
    found = whole if doubtful or not whole.doubt else figures(kept, period, now=now)
    counted, _ = counted_of(kept.between(period), record.person.unit, now=int(now.timestamp()))
    periods = periods_side_by_side(kept, period.last, now=now)
    if period.days not in USUAL_DAYS:
        periods = (*periods, of_figures(found))
    return FiguresShown(
        doubtful=doubtful,
        figures=found,
        whole=whole,
        marks=mark_rows(counted, record.targets, period),
        periods=periods,
        meals=around_meals(counted),
        last_day=record.last_day,
    )


def takes_long(record: Record, period: Period) -> bool:
    """Whether the page of a period takes so long that nobody should wait for it."""
    first, last = period.first.toordinal(), period.last.toordinal()
    days = record.columns.day
    return int(np.count_nonzero((days >= first) & (days <= last))) > _AT_ONCE_UP_TO


def _without_doubtful(record: Record) -> Record:
    return replace(record, columns=record.columns.where(record.columns.doubt == 0))
