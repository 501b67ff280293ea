"""Nights: from midnight to five, belonging to the day before, whenever a diary day begins."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import Period
from app.review.counted import Counted, counted_of
from app.review.record import Record
from app.store.columns import Columns

# A rule of this diary: a night is tested when any reading lies from 00:00 to before 05:00.
NIGHT_ENDS = 5 * 60


def in_night(columns: Columns) -> NDArray[np.bool_]:
    """Which readings lie in a night, by the wall clock."""
    return np.asarray(columns.minute < NIGHT_ENDS)


def days_belonged_to(columns: Columns, day_start: int) -> NDArray[np.int64]:
    """The day that each reading belongs to as a date ordinal: in a night, the day before.

    Parameters
    ----------
    columns : Columns
        The readings.
    day_start : int
        The hour at which the person's diary day begins, 0 to 6.
    """
    date = columns.day.astype(np.int64) + (columns.minute < day_start * 60)
    return np.where(in_night(columns), date - 1, columns.day.astype(np.int64))


def with_last_night(
    record: Record, period: Period, *, now: int
) -> tuple[Counted, NDArray[np.int64]]:
    """The readings that belong to the days of a period, its last night too, and those days.

    Parameters
    ----------
    record : Record
        Whose readings.
    period : Period
        Whole diary days, both ends included.
    now : int
        UTC seconds: what lies in the future is left out.

    Returns
    -------
    Counted, ndarray of shape (n,)
        The readings, and the day that each belongs to as a date ordinal.
    """
    first, last = period.first.toordinal(), period.last.toordinal()
    columns = record.columns.between(first, last + 1)
    counted, _ = counted_of(columns, record.person.unit, now=now)
    days = days_belonged_to(counted.columns, record.person.day_start)
    inside = (days >= first) & (days <= last)
    return counted.where(inside), days[inside]


def nights_tested(record: Record, period: Period, *, now: int) -> NDArray[np.int64]:
    """The days of a period, as date ordinals, in whose night there is a reading that counts."""
    counted, days = with_last_night(record, period, now=now)
    return np.unique(days[in_night(counted.columns)])
