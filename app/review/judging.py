"""Readings against the goals: each by the limit of its mark, in force on its own day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.domain.levels import HIGH_ABOVE
from app.domain.marks import MARKS, Mark
from app.domain.targets import Limit, TargetSet, in_force, limit_for
from app.review.counted import Counted


@dataclass(frozen=True, slots=True)
class Judged:
    """The readings of one mark against their goal: so many below, within and above."""

    mark: Mark
    n: int
    below: int
    within: int
    above: int


@dataclass(frozen=True, slots=True)
class Judgement:
    """All marks that have a goal, how many readings have none, and the goals that were used."""

    marks: tuple[Judged, ...]
    without_goal: int
    goals: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Goals:
    """The ends of each reading's own goal, in the unit it was entered in, NaN where there is none.

    Shape (n,) each; `names` are the sets that were used.
    """

    low: NDArray[np.float64]
    high: NDArray[np.float64]
    names: tuple[str, ...]

    @property
    def there(self) -> NDArray[np.bool_]:
        """Which readings have a goal."""
        return ~(np.isnan(self.low) & np.isnan(self.high))


def judged(
    counted: Counted, sets: Sequence[TargetSet], *, by_limits_of: int | None = None
) -> Judgement:
    """Judge readings by the goals in force on their day.

    Parameters
    ----------
    counted : Counted
        The readings.
    sets : sequence of TargetSet
        The person's goals, sorted by their first day.
    by_limits_of : int, optional
        A date ordinal: judge all readings by the goals of that day instead.
    """
    goals = goals_of(counted, sets, by_limits_of=by_limits_of)
    # A missing end judges nothing: no number is beyond NaN.
    below, above = counted.ordered < goals.low, counted.ordered > goals.high
    has_goal = goals.there
    found = []
    for code, mark in enumerate(MARKS):
        here = has_goal & (counted.columns.mark == code)
        if here.any():
            n, under, over = (int(np.count_nonzero(here & each)) for each in (here, below, above))
            found.append(Judged(mark, n, under, n - under - over, over))
    return Judgement(tuple(found), int(np.count_nonzero(~has_goal)), goals.names)


def goals_of(
    counted: Counted, sets: Sequence[TargetSet], *, by_limits_of: int | None = None
) -> Goals:
    """The goal of each reading by its mark, in force on its day; for the arguments see `judged`."""
    columns = counted.columns
    low = np.full(counted.n, np.nan)
    high = np.full(counted.n, np.nan)
    used: list[str] = []
    for targets, first, last in _stretches(sets, by_limits_of):
        on_days = (columns.day >= first) & (columns.day < last)
        if not on_days.any():
            continue
        used.append(targets.name)
        for code in np.unique(columns.mark[on_days]):
            here = on_days & (columns.mark == code)
            for minutes in np.unique(columns.after_min[here]):
                after = None if minutes < 0 else int(minutes)
                limit = limit_for(targets, MARKS[code], after)
                if limit is not None:
                    _put(counted, limit, here & (columns.after_min == minutes), low, high)
    return Goals(low, high, tuple(dict.fromkeys(used)))


def is_high(counted: Counted, goals: Goals) -> NDArray[np.bool_]:
    """Which readings lie above their own goal, or above 180 mg/dL (10.0 mmol/L) without one."""
    line = np.where(goals.there, goals.high, counted.in_unit_entered(HIGH_ABOVE))
    return np.asarray(counted.ordered > line)


_END_OF_TIME = 1 << 30


def _stretches(
    sets: Sequence[TargetSet], by_limits_of: int | None
) -> list[tuple[TargetSet, int, int]]:
    if by_limits_of is not None:
        held = in_force(sets, by_limits_of)
        return [] if held is None else [(held, 0, _END_OF_TIME)]
    ends = [each.from_day for each in sets[1:]] + [_END_OF_TIME]
    return [(each, each.from_day, end) for each, end in zip(sets, ends, strict=False)]


def _put(
    counted: Counted,
    limit: Limit,
    here: np.ndarray[tuple[int], np.dtype[np.bool_]],
    low: np.ndarray[tuple[int], np.dtype[np.float64]],
    high: np.ndarray[tuple[int], np.dtype[np.float64]],
) -> None:
    """Write the ends of a limit for the readings that it judges."""
    if limit.low is not None:
        low[here] = counted.in_unit_entered(limit.low)[here]
    if limit.high is not None:
        ends = counted.in_unit_entered(limit.high)[here]
        # An open end ("less than 180") lies just under the printed number.
        high[here] = np.nextafter(ends, -np.inf) if limit.high_open else ends
