"""The eight slots of a day, each beside the fourteen days before: small pictures of one scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.domain.marks import MARKS, SLOTS, Mark
from app.domain.targets import TargetSet, in_force
from app.review.counted import Counted
from app.review.figure import Figure
from app.review.lanes import goal_of
from app.review.marks_drawn import DrawnMarks, marks_drawn
from app.review.parts import middle_of
from app.review.scale import GlucoseScale, glucose_scale
from app.statistics.values import FloatArray
from app.store.columns import EXACT, Columns

DAYS_BEFORE = 14


@dataclass(frozen=True, slots=True)
class SlotOfDay:
    """A slot: its readings of the day, and those of the days before with median and middle half.

    `here` and `before` count the days on their axis: 0 is the day, -14 the first one before it ·
    `n` of those before that count, off-scale ones too · `box` the middle half, where both quartiles
    have a number · `low` and `high` the goal, in the person's unit.
    """

    mark: Mark
    here: DrawnMarks
    before: DrawnMarks
    n: int
    median: Figure
    box: tuple[float, float] | None
    low: float | None
    high: float | None

    @property
    def is_untested(self) -> bool:
        """Whether nothing was tested in this slot in the days before."""
        return self.n == 0


@dataclass(frozen=True, slots=True)
class SlotsOfDay:
    """All eight in the order of the day, with their common scale."""

    slots: tuple[SlotOfDay, ...]
    scale: GlucoseScale


def slots_of_day(
    here: Columns, before: Counted, day: int, targets: Sequence[TargetSet]
) -> SlotsOfDay:
    """The slots of a day.

    Parameters
    ----------
    here : Columns
        Every reading of the day, in the order of time.
    before : Counted
        The readings of the fourteen days before it that count.
    day : int
        The diary day, a date ordinal.
    targets : sequence of TargetSet
        The person's goals, the oldest first.
    """
    held = in_force(targets, day)
    slots = tuple(_slot(mark, here, before, day, held) for mark in SLOTS)
    values = [_numbers(marks) for slot in slots for marks in (slot.here, slot.before)]
    limits = [end for slot in slots for end in (slot.low, slot.high) if end is not None]
    return SlotsOfDay(slots, glucose_scale(np.concatenate(values).tolist(), limits, before.unit))


def _slot(
    mark: Mark, here: Columns, before: Counted, day: int, targets: TargetSet | None
) -> SlotOfDay:
    code = MARKS.index(mark)
    mine = here.where(here.mark == code)
    theirs = before.where(before.columns.mark == code)
    goal, unit = goal_of(targets, mark), before.unit
    median, box = middle_of(theirs)
    return SlotOfDay(
        mark=mark,
        here=marks_drawn(mine, unit, np.zeros(len(mine))),
        before=marks_drawn(theirs.columns, unit, (theirs.columns.day - day).astype(np.float64)),
        n=theirs.n,
        median=median,
        box=box,
        low=goal.low.in_unit(unit) if goal and goal.low else None,
        high=goal.high.in_unit(unit) if goal and goal.high else None,
    )


def _numbers(marks: DrawnMarks) -> FloatArray:
    numbers: FloatArray = marks.value[marks.bound == EXACT]
    return numbers
