"""The goals as lanes on a chart: for each part of the day the limits of its slot, by date."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.targets import Limit, TargetSet, in_force, limit_for
from app.review.day_axis import SlotStretch

# Where a set has two limits after a meal, the later one is drawn: tests are planned for then.
_LATER_MINUTES = (120, 60)


@dataclass(frozen=True, slots=True)
class Step:
    """A part of the axis with one goal in the person's unit; without either end there is none."""

    start: float
    end: float
    low: float | None
    high: float | None
    marks: tuple[Mark, ...]

    @property
    def has_goal(self) -> bool:
        """Whether it has a limit at all."""
        return self.low is not None or self.high is not None


@dataclass(frozen=True, slots=True)
class Earlier:
    """Goals that held in an earlier part of the period, up to and with a day."""

    until: date
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Lanes:
    """The goals at the end of the period, those before them, and the low line, if any."""

    steps: tuple[Step, ...]
    earlier: tuple[Earlier, ...]
    low_line: float | None

    @property
    def has_goals(self) -> bool:
        """Whether there is any goal to draw."""
        return any(step.has_goal for step in self.steps)

    @property
    def limits(self) -> tuple[float, ...]:
        """Every limit of the goals at the end of the period, rising."""
        ends = {end for step in self.steps for end in (step.low, step.high) if end is not None}
        return tuple(sorted(ends))


def lanes_of(
    sets: Sequence[TargetSet],
    period: Period,
    stretches: Sequence[SlotStretch],
    unit: Unit,
    *,
    low_line: float | None,
) -> Lanes:
    """The lanes of a period.

    Parameters
    ----------
    sets : sequence of TargetSet
        The person's goals, the oldest first.
    period : Period
        The goals in force on its last day are the lanes; others that held in it are earlier ones.
    stretches : sequence of SlotStretch
        Which part of the axis belongs to which slot, from left to right.
    unit : Unit
        The person's.
    low_line : float, optional
        The safety line, in that unit; goals never move it.
    """
    first, last = period.first.toordinal(), period.last.toordinal()
    held = in_force(sets, last)
    now = _steps(held, stretches, unit)
    earlier = []
    for older, newer in pairwise(sets):
        until = newer.from_day - 1
        if first <= until < last and older.from_day <= until:
            steps = _steps(older, stretches, unit)
            if steps != now:
                earlier.append(Earlier(date.fromordinal(until), steps))
    return Lanes(now, tuple(earlier), low_line)


def goal_of(targets: TargetSet | None, mark: Mark) -> Limit | None:
    """The limit of a mark where nothing is said about minutes after the meal."""
    if targets is None:
        return None
    for minutes in (None, *_LATER_MINUTES):
        limit = limit_for(targets, mark, minutes)
        if limit is not None:
            return limit
    return None


def _steps(
    targets: TargetSet | None, stretches: Sequence[SlotStretch], unit: Unit
) -> tuple[Step, ...]:
    found: list[Step] = []
    for each in stretches:
        limit = goal_of(targets, each.mark)
        low = limit.low.in_unit(unit) if limit and limit.low else None
        high = limit.high.in_unit(unit) if limit and limit.high else None
        if found and (found[-1].low, found[-1].high) == (low, high):
            before = found[-1]
            marks = before.marks if each.mark in before.marks else (*before.marks, each.mark)
            found[-1] = Step(before.start, each.end, low, high, marks)
        else:
            found.append(Step(each.start, each.end, low, high, (each.mark,)))
    return tuple(found)
