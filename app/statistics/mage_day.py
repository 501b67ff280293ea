"""MAGE of one day, rule by rule: the mean swing larger than the day's SD, in one direction.

MAGE was made for continuous recording; from finger-sticks it is rough and depends on how many tests
were done. The 1970 text leaves open which SD, what to do with small reversals and what may end a
leg; the rules below are this diary's reading of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.moments import standard_deviation
from app.statistics.values import FloatArray, as_values

# A swing that passes the SD by less than this part of it (or this much, for an SD below 1) is taken
# as equal to it: the SD of 80 140 100 140 80 180 is 40, and the last binary digit decides nothing.
TIE = 1e-9


@dataclass(frozen=True, slots=True)
class DayMage:
    """A day's swings: mean size in the first one's direction, in the other, and of all."""

    value: float  # in the direction of the first swing; 0 where all results are equal
    other_direction: float | None
    all_legs: float
    kept: tuple[float, ...]  # the turning points between which the swings run
    sd: float

    @property
    def legs(self) -> tuple[float, ...]:
        """The swings between kept points, up positive."""
        return tuple(b - a for a, b in pairwise(self.kept))


def day_mage(values: ArrayLike) -> DayMage | None:
    """Mean amplitude of glucose excursions of one day.

    A swing counts if it is larger than the sample SD of the day; one equal to it does not. Swings
    in the direction of the first are averaged.

    Parameters
    ----------
    values : array_like, shape (n,)
        The day's results in time order, results of the same minute averaged; any unit.

    Returns
    -------
    DayMage or None
        None with fewer than two results. How many a day should have: `mage.mage`.

    Raises
    ------
    ValueError
        If `values` is not one-dimensional or not all finite.

    References
    ----------
    F. J. Service et al. (1970), Diabetes 19, 644-655 (abstract read; the wording of the rule
    second-hand).

    Examples
    --------
    >>> found = day_mage([95, 160, 150, 240, 130, 140, 80])
    >>> found.value, found.kept
    (145.0, (95.0, 240.0, 80.0))
    """
    numbers = as_values(values)
    sd = standard_deviation(numbers)
    if sd is None:
        return None
    kept = _kept_points(turning_points(numbers).tolist(), sd + TIE * max(1.0, sd))
    legs = [abs(b - a) for a, b in pairwise(kept)]
    if not legs:
        return DayMage(0.0, None, 0.0, tuple(kept), sd)
    return DayMage(
        value=float(np.mean(legs[::2])),
        other_direction=float(np.mean(legs[1::2])) if len(legs) > 1 else None,
        all_legs=float(np.mean(legs)),
        kept=tuple(kept),
        sd=sd,
    )


def turning_points(values: ArrayLike) -> FloatArray:
    """The first and last result and each one where rising turns into falling or back.

    Equal results in a row count as one. The same values as the reversals of ASTM E1049-85.

    Parameters
    ----------
    values : array_like, shape (n,)
        In time order.

    Examples
    --------
    >>> turning_points([210, 140, 140, 185, 185, 90, 150, 100]).tolist()
    [210.0, 140.0, 185.0, 90.0, 150.0, 100.0]
    """
    numbers = as_values(values)
    if numbers.size < 2:
        return numbers
    apart = numbers[np.concatenate(([True], numbers[1:] != numbers[:-1]))]
    rising = apart[1:] > apart[:-1]
    turns = np.ones(apart.size, dtype=bool)
    turns[1:-1] = rising[1:] != rising[:-1]
    return apart[turns]


def _kept_points(points: list[float], threshold: float) -> list[float]:
    """The turning points between which each swing is more than `threshold`, from left to right."""
    low = high = points[0]
    kept: list[float] = []
    extreme, rising = points[0], True
    for point in points[1:]:
        if not kept:
            if point - low > threshold:
                kept, extreme, rising = [low], point, True
            elif high - point > threshold:
                kept, extreme, rising = [high], point, False
            low, high = min(low, point), max(high, point)
            continue
        ahead = point - extreme if rising else extreme - point
        if ahead > 0:
            extreme = point
        elif -ahead > threshold:
            kept.append(extreme)
            extreme, rising = point, not rising
    return [*kept, extreme] if kept else []
