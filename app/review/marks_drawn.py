"""Readings as marks on a chart: where each stands and what its shape has to tell."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import LATEST_INSTANT
from app.domain.glucose import Unit
from app.domain.levels import HIGH_ABOVE, LOW_BELOW, VERY_HIGH_ABOVE, VERY_LOW_BELOW, Level
from app.domain.marks import MARKS
from app.domain.reading import STANDINGS, Standing
from app.review.counted import Counted, counted_of
from app.store.columns import NO_VALUE, Columns

LEVELS: tuple[Level, ...] = tuple(Level)
LOW_LEVELS, HIGH_LEVELS = 2, 3  # those before the third are low, those from the fourth on high
TAILS = np.array(
    [1 if mark.is_before_meal else -1 if mark.is_after_meal else 0 for mark in MARKS], dtype=np.int8
)
_COUNTED = STANDINGS.index(Standing.COUNTED)


@dataclass(frozen=True, slots=True)
class DrawnMarks:
    """One entry for each mark in every array, from left to right, at one place the earlier first.

    `id` local ids · `x` where it stands, in the unit of the chart's axis · `value` in the person's
    unit, of a result off the scale its limit, 0 where that is unknown · `level` a place in `LEVELS`
    · `tail` 1 before a meal (points right), -1 after one, 0 other · `doubt` whether in doubt ·
    `apart` whether set aside or not mine · `bound` as in the columns · `day` the diary day's
    ordinal. Every number is finite.
    """

    id: NDArray[np.int64]
    x: NDArray[np.float64]
    value: NDArray[np.float64]
    level: NDArray[np.int8]
    tail: NDArray[np.int8]
    doubt: NDArray[np.bool_]
    apart: NDArray[np.bool_]
    bound: NDArray[np.int8]
    day: NDArray[np.int32]

    def __len__(self) -> int:
        """How many marks there are."""
        return int(self.id.size)

    def where(self, chosen: NDArray[np.bool_] | NDArray[np.intp]) -> DrawnMarks:
        """The chosen marks, or all of them in another order."""
        return replace(self, **{each.name: getattr(self, each.name)[chosen] for each in _FIELDS})


_FIELDS = fields(DrawnMarks)


def marks_drawn(columns: Columns, unit: Unit, x: NDArray[np.float64]) -> DrawnMarks:
    """Every reading that has a value or a bound as a mark at its place `x`, shape (n,)."""
    there = columns.bound != NO_VALUE
    if not there.all():
        columns, x = columns.where(there), x[there]
    # Also what does not count in figures is drawn: so all pass as counted, whenever they were.
    passed = replace(columns, standing=np.full_like(columns.standing, _COUNTED))
    shown, _ = counted_of(passed, unit, now=LATEST_INSTANT)
    drawn = replace(marks_of(shown, x, levels_of(shown)), apart=columns.standing != _COUNTED)
    return in_order(drawn)


def marks_of(counted: Counted, x: NDArray[np.float64], level: NDArray[np.int8]) -> DrawnMarks:
    """Readings that count as marks, in their own order; `level` as `levels_of` has it."""
    columns = counted.columns
    return DrawnMarks(
        id=columns.id,
        x=x,
        value=counted.values,
        level=level,
        tail=TAILS[columns.mark],
        doubt=columns.doubt != 0,
        apart=np.zeros(counted.n, dtype=np.bool_),
        bound=columns.bound,
        day=columns.day,
    )


def in_order(marks: DrawnMarks) -> DrawnMarks:
    """The same marks from left to right; of those at one place the earlier first."""
    return marks.where(np.argsort(marks.x, kind="stable"))  # they come in order of time


def levels_of(counted: Counted) -> NDArray[np.int8]:
    """The level of each reading as a place in `LEVELS`, compared in the unit it was entered in."""
    ordered = counted.ordered
    level = np.full(counted.n, LEVELS.index(Level.IN_RANGE), dtype=np.int8)
    level[ordered < counted.in_unit_entered(LOW_BELOW)] = LEVELS.index(Level.LOW)
    level[ordered < counted.in_unit_entered(VERY_LOW_BELOW)] = LEVELS.index(Level.VERY_LOW)
    level[ordered > counted.in_unit_entered(HIGH_ABOVE)] = LEVELS.index(Level.HIGH)
    level[ordered > counted.in_unit_entered(VERY_HIGH_ABOVE)] = LEVELS.index(Level.VERY_HIGH)
    return level
