"""Thousands of marks as counts in cells, where single ones would only cover each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.domain.glucose import Unit
from app.domain.levels import Level
from app.review.marks_drawn import LEVELS, DrawnMarks
from app.store.columns import EXACT

MARKS_UP_TO = 5_000  # more marks than this cost too long to draw, and cover each other (measured)
_CELL = {Unit.MMOL_L: 0.25, Unit.MG_DL: 5.0}
# How far each level lies from the range: the farthest in a cell gives the cell its colour.
_FAR = np.array([4, 2, 0, 1, 3], dtype=np.int8)


@dataclass(frozen=True, slots=True)
class Density:
    """Counts by row of glucose (the lowest first) and column of the axis, and the farthest level.

    `level` holds places in `LEVELS`; where `count` is 0 it means nothing. The cells fill the
    rectangle between `left`, `right`, `bottom` and `top`.
    """

    count: NDArray[np.int64]
    level: NDArray[np.int8]
    left: float
    right: float
    bottom: float
    top: float

    @property
    def n(self) -> int:
        """How many readings are in it."""
        return int(self.count.sum())

    def cell_at(self, x: float, value: float) -> tuple[int, float, float, float, float] | None:
        """The count in the cell at a place, with its left, right, bottom and top; None outside."""
        rows, columns = self.count.shape
        wide, tall = (self.right - self.left) / columns, (self.top - self.bottom) / rows
        column, row = int((x - self.left) // wide), int((value - self.bottom) // tall)
        if not (0 <= column < columns and 0 <= row < rows):
            return None
        left, bottom = self.left + column * wide, self.bottom + row * tall
        return int(self.count[row, column]), left, left + wide, bottom, bottom + tall


def density_of(
    marks: DrawnMarks, unit: Unit, *, left: float, right: float, columns: int
) -> Density:
    """Count the marks that have a number and are not set apart.

    Parameters
    ----------
    marks : DrawnMarks
        Those off the scale stand at the chart's edge and are in no cell.
    unit : Unit
        The person's, in which the values are: it sets the height of a cell.
    left, right : float
        The ends of the axis.
    columns : int
        How many cells stand side by side between them.
    """
    kept = (marks.bound == EXACT) & ~marks.apart
    x, value, level = marks.x[kept], marks.value[kept], marks.level[kept]
    cell = _CELL[unit]
    top_row = int(np.ceil(value.max() / cell)) if value.size else 1
    column = np.clip(((x - left) / (right - left) * columns).astype(np.int64), 0, columns - 1)
    row = np.clip((value / cell).astype(np.int64), 0, top_row - 1)
    place = row * columns + column
    count = np.bincount(place, minlength=top_row * columns)
    farthest = np.full(top_row * columns, LEVELS.index(Level.IN_RANGE), dtype=np.int8)
    for code in np.argsort(_FAR)[1:].tolist():  # from near to far: the farthest is written last
        farthest[place[level == code]] = code
    shape = (top_row, columns)
    return Density(count.reshape(shape), farthest.reshape(shape), left, right, 0.0, top_row * cell)
