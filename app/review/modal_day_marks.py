"""The marks of a modal day, or their density; what is set apart is a ×."""

from __future__ import annotations

from dataclasses import fields
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import Period
from app.domain.marks import SLOTS
from app.domain.reading import STANDINGS, Standing
from app.review.counted import Counted
from app.review.day_axis import DAY_MINUTES, from_start
from app.review.density import MARKS_UP_TO, Density, density_of
from app.review.marks_drawn import DrawnMarks, in_order, marks_drawn, marks_of
from app.review.modal_day_slots import column_places
from app.store.columns import NO_VALUE, Columns

View = Literal["clock", "slots"]
_CELLS_A_DAY = DAY_MINUTES // 10
_CELLS_A_SLOT = 24


def modal_marks(
    columns: Columns,
    used: Counted,
    level: NDArray[np.int8],
    period: Period,
    *,
    view: View,
    start_hour: int,
) -> tuple[DrawnMarks, Density | None]:
    """Place every mark on the axis; from left to right, unless they are so many that density is.

    Parameters
    ----------
    columns : Columns
        All readings of the period.
    used : Counted
        Those that are in the figures.
    level : ndarray, shape (used.n,)
        The levels of those.
    """
    drawn = marks_of(used, _places(used.columns, period, view, start_hour), level)
    apart = columns.standing != STANDINGS.index(Standing.COUNTED)
    if apart.any():
        others = columns.where(apart & (columns.bound != NO_VALUE))
        places = _places(others, period, view, start_hour)
        drawn = _joined(drawn, marks_drawn(others, used.unit, places))
    if view == "slots":
        drawn = drawn.where(drawn.x >= 0)
    if len(drawn) <= MARKS_UP_TO:
        return in_order(drawn), None
    right, cells = (len(SLOTS), len(SLOTS) * _CELLS_A_SLOT)
    if view == "clock":
        right, cells = DAY_MINUTES, _CELLS_A_DAY
    return drawn, density_of(drawn, used.unit, left=0.0, right=float(right), columns=cells)


def _places(columns: Columns, period: Period, view: View, start_hour: int) -> NDArray[np.float64]:
    """Places on the axis; -1 for what is in no slot where only slots are shown."""
    if view == "clock":
        return from_start(columns.minute, start_hour)
    first, last = period.first.toordinal(), period.last.toordinal()
    x = column_places(columns.mark, columns.day, first, last)
    return np.where(columns.mark < len(SLOTS), x, -1.0)


def _joined(one: DrawnMarks, other: DrawnMarks) -> DrawnMarks:
    return DrawnMarks(
        **{
            each.name: np.concatenate((getattr(one, each.name), getattr(other, each.name)))
            for each in fields(DrawnMarks)
        }
    )
