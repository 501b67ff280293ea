"""One place of the columns as the domain knows it: a result, and the wall time of a moment."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

from app.domain.glucose import Bound, Glucose, Unit
from app.store.columns import ABOVE, BELOW, EXACT, MMOL_L, Columns


def glucose_at(columns: Columns, at: int) -> Glucose:
    """The result in one place of the columns; its limit where it is off the scale."""
    unit = Unit.MMOL_L if columns.unit[at] == MMOL_L else Unit.MG_DL
    sides = {EXACT: Bound.EXACT, BELOW: Bound.BELOW, ABOVE: Bound.ABOVE}
    bound = sides.get(int(columns.bound[at]), Bound.NO_VALUE)
    entered = float(columns.entered[at])
    # A limit of 0 stands for one that is not known.
    return Glucose(f"{entered:.12g}" if entered else None, unit, bound)


def wall_at(columns: Columns, at: int, day_start: int) -> datetime:
    """The wall time in one place: a day that starts at 4 holds the small hours of the next date."""
    minute = int(columns.minute[at])
    on = date.fromordinal(int(columns.day[at])) + timedelta(days=minute < day_start * 60)
    return datetime.combine(on, time(minute // 60, minute % 60))
