"""How far two sides lie apart: their difference, its intervals, and the verdict."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from app.review.counted import Counted
from app.review.figure import Mean, Missing, too_little
from app.review.parts import mean_of
from app.statistics import enough
from app.statistics.days import days_with_readings
from app.statistics.difference import Side, evened_difference, side_of
from app.statistics.difference_days import difference_over_days

Verdict = Literal["lower", "higher", "cannot_tell", "too_few"]

# Below a billionth of the numbers themselves a difference is the rounding of the computer.
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Apart:
    """The second side less the first, evened over the slots that both have.

    `first` and `second` are the evened means; None where results are off the meter's scale, which
    leaves the difference as a bound at most. `low` and `high` are Welch's 95 % limits, `days_low`
    and `days_high` those from drawing whole days; each None where `why` says what is missing.
    """

    first: float | None
    second: float | None
    value: float | None
    at_least: float | None = None
    at_most: float | None = None
    low: float | None = None
    high: float | None = None
    days_low: float | None = None
    days_high: float | None = None
    why: Missing | None = None

    @property
    def verdict(self) -> Verdict:
        """Lower or higher only where both intervals lie on one side of no difference."""
        if self.low is None or self.high is None:
            return "too_few"
        lows = [self.low, *([] if self.days_low is None else [self.days_low])]
        highs = [self.high, *([] if self.days_high is None else [self.days_high])]
        if max(highs) < 0:
            return "lower"
        return "higher" if min(lows) > 0 else "cannot_tell"

    @property
    def sign(self) -> int:
        """Which way it goes: -1, 1, or 0 for none or unknown."""
        if self.value is None or self.first is None:
            return 0
        if abs(self.value) <= _ROUNDING * abs(self.first):
            return 0
        return -1 if self.value < 0 else 1


def apart(
    first: Counted,
    second: Counted,
    *,
    minimum: bool,
    by_slot: bool = True,
    over_days: bool = True,
) -> Apart | Missing:
    """The difference of two sides over the slots that both have.

    Parameters
    ----------
    first, second : Counted
        The readings of each side, with those marks alone that are to be evened.
    minimum : bool
        Give an interval only from five days on each side.
    by_slot : bool, default True
        Even over the marks; else take all readings of a side as one lot.
    over_days : bool, default True
        Check the interval by drawing whole days. One slot alone is tested about once a day, so
        that days and readings are the same there and the check tells nothing new.
    """
    if not first.n or not second.n:
        return Missing("one side has no readings")
    if by_slot:
        shared = np.intersect1d(first.columns.mark, second.columns.mark)
        if not shared.size:
            return Missing("the two sides have no slot in common")
        first, second = (each.where(np.isin(each.columns.mark, shared)) for each in (first, second))
    sides = [_side(each, by_slot=by_slot) for each in (first, second)]
    if first.off_scale or second.off_scale:
        return _bounded(first, second, by_slot=by_slot)
    found = evened_difference(*sides)
    if found is None:
        raise RuntimeError("both sides have readings of the same marks")
    why = None
    if minimum:
        fewest = min(days_with_readings(each.columns.day) for each in (first, second))
        why = too_little(enough.MEAN_INTERVAL, days=fewest)
    if why is None and found.low is None:
        why = Missing("the readings are too few or too alike to say how sure it is")
    if why is not None:
        return Apart(found.first, found.second, found.value, why=why)
    days = difference_over_days(*sides) if over_days else None
    return Apart(
        first=found.first,
        second=found.second,
        value=found.value,
        low=found.low,
        high=found.high,
        days_low=days.low if days else None,
        days_high=days.high if days else None,
    )


def reach_of(found: Iterable[Apart | Missing]) -> float:
    """How far an axis has to reach to both sides of no difference: the farthest limit there is."""
    ends = [
        abs(end)
        for each in found
        if isinstance(each, Apart)
        for end in (each.value, each.low, each.high)
        if end is not None
    ]
    return max(ends, default=0.0)


def _side(counted: Counted, *, by_slot: bool) -> Side:
    marks = counted.columns.mark if by_slot else np.zeros(counted.n, dtype=np.int64)
    return side_of(counted.values, marks, counted.columns.day)


def _bounded(first: Counted, second: Counted, *, by_slot: bool) -> Apart | Missing:
    """What results off the scale leave: a bound where all slots lean the same way."""
    marks = np.unique(first.columns.mark) if by_slot else [None]
    least: list[float | None] = []
    most: list[float | None] = []
    for mark in marks:
        means = []
        for side in (first, second):
            part = side if mark is None else side.where(side.columns.mark == mark)
            mean = mean_of(part, minimum=False)
            if isinstance(mean, Missing):
                return mean
            means.append(mean)
        least.append(_less(_floor(means[1]), _ceiling(means[0])))
        most.append(_less(_ceiling(means[1]), _floor(means[0])))
    at_least, at_most = _mean_of_all(least), _mean_of_all(most)
    if at_least is None and at_most is None:
        return Missing("results off the meter's scale leave the difference open on both ends")
    why = Missing("results are off the meter's scale")
    return Apart(None, None, None, at_least=at_least, at_most=at_most, why=why)


def _floor(mean: Mean) -> float | None:
    return mean.value if mean.value is not None else mean.at_least


def _ceiling(mean: Mean) -> float | None:
    return mean.value if mean.value is not None else mean.at_most


def _less(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one - other


def _mean_of_all(found: list[float | None]) -> float | None:
    known = [each for each in found if each is not None]
    return float(np.mean(known)) if len(known) == len(found) else None
