"""How far the means of two sets of readings lie apart, slot by slot, and how sure that is."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.student import t_quantile
from app.statistics.values import FloatArray, IntArray, as_confidence, as_labels, as_values


@dataclass(frozen=True, slots=True)
class Difference:
    """The second mean less the first; `first` and `second` are the means themselves.

    `low` and `high` are None where a group has one reading only, or no spread to judge by.
    """

    value: float
    first: float
    second: float
    groups: tuple[int, ...]
    low: float | None
    high: float | None
    degrees: float | None


@dataclass(frozen=True, slots=True)
class Side:
    """The readings of one side: values in one unit, the group (slot) and the day of each."""

    values: FloatArray
    groups: IntArray
    days: IntArray


def side_of(values: ArrayLike, groups: ArrayLike, days: ArrayLike) -> Side:
    """Check the readings of one side.

    Parameters
    ----------
    values : array_like, shape (n,)
        One value for each reading, all in one unit; order does not matter.
    groups, days : array_like of int, shape (n,)
        The slot of each as a code, and its diary-day number.

    Raises
    ------
    ValueError
        If an argument is not one-dimensional, not finite, or of another length.
    """
    numbers = as_values(values)
    return Side(
        numbers, as_labels(groups, "groups", numbers.size), as_labels(days, "days", numbers.size)
    )


def difference_of_means(
    first: ArrayLike, second: ArrayLike, *, confidence: float = 0.95
) -> Difference | None:
    """The second mean less the first, with Welch's interval: the two spreads may differ.

    Parameters
    ----------
    first, second : array_like, shape (n,) and (m,)
        The readings of each side, all in one unit; order does not matter.
    confidence : float, default 0.95
        Two-sided coverage, strictly between 0 and 1.

    Returns
    -------
    Difference or None
        None where a side has no readings.

    Raises
    ------
    ValueError
        If an argument is not one-dimensional, not finite or out of range.

    References
    ----------
    B. L. Welch (1947), Biometrika 34, 28-35; F. E. Satterthwaite (1946), Biometrics Bulletin 2,
    110-114 (both from memory).

    Examples
    --------
    >>> found = difference_of_means([9.1, 8.4, 10.2], [7.9, 8.2, 6.8])
    >>> round(found.value, 2), round(found.low, 2), round(found.high, 2)
    (-1.6, -3.51, 0.31)
    """
    sides = []
    for values in (first, second):
        size = np.size(values)
        zeros = np.zeros(size, dtype=np.int64)
        sides.append(side_of(values, zeros, zeros))
    return evened_difference(*sides, confidence=confidence)


def evened_difference(first: Side, second: Side, *, confidence: float = 0.95) -> Difference | None:
    """The difference of the means of the group means, over the groups that both sides have.

    Every group weighs the same on both sides, so that a side tested more often at one time of day
    does not differ for that alone. With one group it is Welch's; with several the variances of the
    group means add up, and Satterthwaite's degrees of freedom are taken over all of them.

    Parameters
    ----------
    first, second : Side
        From `side_of`.
    confidence : float, default 0.95
        Two-sided coverage, strictly between 0 and 1.

    Returns
    -------
    Difference or None
        None where no group is on both sides.

    Raises
    ------
    ValueError
        If `confidence` is out of range.

    References
    ----------
    F. E. Satterthwaite (1946), Biometrics Bulletin 2, 110-114 (from memory).
    """
    reach = (1 + as_confidence(confidence)) / 2
    groups = np.intersect1d(first.groups, second.groups)
    if not groups.size:
        return None
    means = []
    parts: list[tuple[float, int]] = []  # of each group mean its variance, and n
    for side in (first, second):
        of_groups = []
        for group in groups:
            values = side.values[side.groups == group]
            of_groups.append(float(np.mean(values)))
            spread = _variance(values)
            parts.append((spread / values.size, values.size))
        means.append(float(np.mean(of_groups)))
    value = means[1] - means[0]
    named = tuple(int(group) for group in groups)
    total = sum(variance for variance, _ in parts)
    if not total > 0:  # NaN where a group has one reading
        return Difference(value, means[0], means[1], named, None, None, None)
    degrees = total * total / sum(variance**2 / (n - 1) for variance, n in parts)
    wide = t_quantile(reach, degrees) * math.sqrt(total) / groups.size
    return Difference(value, means[0], means[1], named, value - wide, value + wide, degrees)


def _variance(values: FloatArray) -> float:
    """The sample variance; NaN for one value, and exactly 0 for equal ones whatever their unit."""
    if values.size < 2:
        return math.nan
    return float(np.var(values, ddof=1)) if np.ptp(values) > 0 else 0.0
