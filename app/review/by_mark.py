"""The readings of a period mark by mark: a strip of each on one scale, its middle, its goal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.marks import MARKS, SLOTS, Mark
from app.domain.targets import TargetSet, in_force
from app.review.counted import Counted
from app.review.figure import Figure, Mean, Missing, too_little
from app.review.judging import judged
from app.review.lanes import goal_of
from app.review.marks_drawn import (
    HIGH_LEVELS,
    LEVELS,
    LOW_LEVELS,
    DrawnMarks,
    levels_of,
    marks_drawn,
)
from app.review.parts import mean_of, middle_of, sd_of
from app.review.scale import GlucoseScale, glucose_scale
from app.statistics import enough
from app.store.columns import ABOVE, BELOW

SINGLE_UP_TO = 150  # more marks than that in one strip cover each other
_STEP = {Unit.MMOL_L: 0.1, Unit.MG_DL: 2.0}


@dataclass(frozen=True, slots=True)
class Piles:
    """Many readings as piles: where, how many, and which level; those off the scale only counted.

    Shape (k,) each, from left to right, at least `step` apart or of two levels; `level` holds
    places in `LEVELS`.
    """

    step: float

    value: NDArray[np.float64]
    count: NDArray[np.int64]
    level: NDArray[np.int8]
    off_below: int
    off_above: int


@dataclass(frozen=True, slots=True)
class MarkRow:
    """The readings of one mark.

    `marks` stand at their value, or `piles` stand for them where they are many · `box` the middle
    half where both quartiles have a number · `low` and `high` the goal at the end of the period, in
    the person's unit · `below` and `above` are counted against the goal of each reading's own day
    (`by_goal`; of `judged` readings), else against the levels.
    """

    mark: Mark
    n: int
    marks: DrawnMarks | None
    piles: Piles | None
    mean: Mean | Missing
    sd: Figure
    median: Figure
    box: tuple[float, float] | None
    low: float | None
    high: float | None
    by_goal: bool
    judged: int
    below: int
    above: int


@dataclass(frozen=True, slots=True)
class MarkRows:
    """The eight slots, then every other mark that occurs; all on one scale.

    `goals` names the goals of the period · `unjudged` counts readings in rows judged by goals that
    lie before the goals began.
    """

    rows: tuple[MarkRow, ...]
    scale: GlucoseScale
    goals: tuple[str, ...]
    unjudged: int

    @property
    def thin_slots(self) -> tuple[MarkRow, ...]:
        """The slots with too few readings for a median, the fullest first."""
        slots = (row for row in self.rows if row.mark in SLOTS)
        thin = [row for row in slots if too_little(enough.SLOT_BOX, there=row.n)]
        return tuple(sorted(thin, key=lambda row: -row.n))


def mark_rows(counted: Counted, targets: Sequence[TargetSet], period: Period) -> MarkRows:
    """Every slot of a period, tested or not, and the other marks that occur.

    Parameters
    ----------
    counted : Counted
        The readings of the period that count.
    targets : sequence of TargetSet
        The person's goals, the oldest first.
    period : Period
        The goals in force on its last day are the lanes.
    """
    judgement = judged(counted, targets)
    against = {each.mark: each for each in judgement.marks}
    held = in_force(targets, period.last.toordinal())
    present = set(np.unique(counted.columns.mark).tolist())
    rows = []
    for code, mark in enumerate(MARKS):
        if mark not in SLOTS and code not in present:
            continue
        part = counted.where(counted.columns.mark == code)
        goal = goal_of(held, mark)
        found = against.get(mark)
        below, above = (found.below, found.above) if found else _by_level(part)
        median, box = middle_of(part)
        single = part.n <= SINGLE_UP_TO
        rows.append(
            MarkRow(
                mark=mark,
                n=part.n,
                marks=marks_drawn(part.columns, part.unit, part.values) if single else None,
                piles=None if single else _piles(part),
                mean=mean_of(part, minimum=True),
                sd=sd_of(part, minimum=True),
                median=median,
                box=box,
                low=goal.low.in_unit(part.unit) if goal and goal.low else None,
                high=goal.high.in_unit(part.unit) if goal and goal.high else None,
                by_goal=found is not None,
                judged=found.n if found else part.n,
                below=below,
                above=above,
            )
        )
    return MarkRows(
        rows=tuple(rows),
        scale=_scale(counted, rows),
        goals=judgement.goals,
        unjudged=sum(row.n - row.judged for row in rows),
    )


def _scale(counted: Counted, rows: Sequence[MarkRow]) -> GlucoseScale:
    numbers = counted.numbers
    ends = [float(numbers.min()), float(numbers.max())] if numbers.size else []
    limits = [end for row in rows for end in (row.low, row.high) if end is not None]
    return glucose_scale(ends, limits, counted.unit)


def _by_level(counted: Counted) -> tuple[int, int]:
    levels = levels_of(counted)
    return (
        int(np.count_nonzero(levels < LOW_LEVELS)),
        int(np.count_nonzero(levels >= HIGH_LEVELS)),
    )


def _piles(counted: Counted) -> Piles:
    exact, bound = counted.exact, counted.columns.bound
    step = _STEP[counted.unit]
    place = np.floor(counted.numbers / step + 0.5).astype(np.int64)
    coded, count = np.unique(place * len(LEVELS) + levels_of(counted)[exact], return_counts=True)
    return Piles(
        step=step,
        value=coded // len(LEVELS) * step,
        count=count.astype(np.int64),
        level=(coded % len(LEVELS)).astype(np.int8),
        off_below=int(np.count_nonzero(bound == BELOW)),
        off_above=int(np.count_nonzero(bound == ABOVE)),
    )
