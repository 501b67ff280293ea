"""One slot in one month: how many readings, their middle, their lows and highs, the goal."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.domain.levels import Level
from app.domain.marks import Mark
from app.domain.targets import TargetSet
from app.review.counted import Counted
from app.review.figure import Figure
from app.review.lanes import goal_of
from app.review.marks_drawn import HIGH_LEVELS, LEVELS, LOW_LEVELS, levels_of
from app.review.parts import middle_of
from app.statistics.days import days_with_readings


@dataclass(frozen=True, slots=True)
class YearCell:
    """The readings of one slot in one month.

    `median` from five readings on · `box` the middle half where both quartiles have a number ·
    `lows` below 3.9 (70), `highs` above 10.0 (180), the far ones among them · the goal of its mark
    at the end of the month, in the person's unit.
    """

    mark: Mark
    n: int
    days: int
    median: Figure
    box: tuple[float, float] | None
    lows: int
    far_lows: int
    highs: int
    far_highs: int
    in_doubt: int
    goal_low: float | None
    goal_high: float | None


def year_cell(counted: Counted, mark: Mark, goals: TargetSet | None) -> YearCell:
    """Gather a cell from its readings; with none of them it is empty, not zero."""
    median, box = middle_of(counted)
    level = levels_of(counted)
    goal = goal_of(goals, mark)
    return YearCell(
        mark=mark,
        n=counted.n,
        days=days_with_readings(counted.columns.day),
        median=median,
        box=box,
        lows=int(np.count_nonzero(level < LOW_LEVELS)),
        far_lows=int(np.count_nonzero(level == LEVELS.index(Level.VERY_LOW))),
        highs=int(np.count_nonzero(level >= HIGH_LEVELS)),
        far_highs=int(np.count_nonzero(level == LEVELS.index(Level.VERY_HIGH))),
        in_doubt=int(np.count_nonzero(counted.columns.doubt)),
        goal_low=goal.low.in_unit(counted.unit) if goal and goal.low else None,
        goal_high=goal.high.in_unit(counted.unit) if goal and goal.high else None,
    )
