"""Mean and spread about it: sample SD, CV, and the CV within days."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.runs import runs_by_day
from app.statistics.values import FloatArray, as_labels, as_values


@dataclass(frozen=True, slots=True)
class WithinDayCV:
    """The mean of the days' own CVs in percent, and how many days gave one."""

    value: float | None
    days: int


def mean(values: ArrayLike) -> float | None:
    """Arithmetic mean; None with no readings.

    Parameters
    ----------
    values : array_like, shape (n,)
        One value for each reading, all in one unit; order does not matter.

    Raises
    ------
    ValueError
        If `values` is not one-dimensional or not all finite.

    Examples
    --------
    >>> mean([100, 150, 230])
    160.0
    """
    numbers = as_values(values)
    return _mean(numbers) if numbers.size else None


def standard_deviation(values: ArrayLike) -> float | None:
    """Sample standard deviation (n - 1); None with fewer than two readings.

    Worked in two passes. The textbook sum of squares in one pass loses every digit when the spread
    is small beside the mean: it gives a negative variance on NIST's NumAcc4.

    Parameters
    ----------
    values : array_like, shape (n,)
        One value for each reading, all in one unit; order does not matter.

    Raises
    ------
    ValueError
        If `values` is not one-dimensional or not all finite.

    References
    ----------
    T. F. Chan, G. H. Golub, R. J. LeVeque (1983), Am. Stat. 37, 242-247: the corrected two-pass
    form (from memory).

    Examples
    --------
    >>> standard_deviation([80, 140, 100, 140, 80, 180])
    40.0
    """
    numbers = as_values(values)
    return _sample_sd(numbers) if numbers.size > 1 else None


def coefficient_of_variation(values: ArrayLike) -> float | None:
    """SD as a percentage of the mean; None with fewer than two readings or a mean of 0.

    Free of the unit: the same for mg/dL and mmol/L.

    Parameters
    ----------
    values : array_like, shape (n,)
        One value for each reading, all in one unit; order does not matter.

    Raises
    ------
    ValueError
        If `values` is not one-dimensional or not all finite.

    Examples
    --------
    >>> round(coefficient_of_variation([100, 180, 110, 190]), 5)
    32.1017
    """
    numbers = as_values(values)
    if numbers.size < 2:
        return None
    middle = _mean(numbers)
    return 100 * _sample_sd(numbers) / middle if middle else None


def within_day_cv(values: ArrayLike, days: ArrayLike, *, fewest: int = 2) -> WithinDayCV:
    """Mean over days of each day's CV in percent, usually lower than the CV of all readings.

    Parameters
    ----------
    values : array_like, shape (n,)
        One value for each reading, all in one unit; order does not matter.
    days : array_like of int, shape (n,)
        The diary-day number of each reading.
    fewest : int, default 2
        Readings that a day must have to count; 2 is the mathematical minimum.

    Returns
    -------
    WithinDayCV
        With no day that counts, ``value`` is None and ``days`` is 0.

    Raises
    ------
    ValueError
        If an argument is not one-dimensional, not finite or of another length, or `fewest` < 2.

    References
    ----------
    J.-B. Julla et al. (2021), Diabetes Care 44, 1722-1725.

    Examples
    --------
    >>> within_day_cv([100, 180, 110, 190, 95], [1, 1, 1, 1, 2]).days
    1
    """
    if fewest < 2:
        raise ValueError(f"a day needs two readings for an SD: fewest={fewest}")
    numbers = as_values(values)
    runs = runs_by_day(numbers, as_labels(days, "days", numbers.size))
    used = (runs.counts >= fewest) & (runs.sums != 0)
    if not used.any():
        return WithinDayCV(None, 0)
    counts = runs.counts[used]
    spread = np.sqrt(runs.squared_deviations[used] / (counts - 1))
    return WithinDayCV(float(np.mean(100 * spread * counts / runs.sums[used])), counts.size)


def _mean(numbers: FloatArray) -> float:
    return float(np.mean(numbers))


def _sample_sd(numbers: FloatArray) -> float:
    # ddof=1: a diary is a sample of the days, not all of them.
    deviations = numbers - np.mean(numbers)
    slip = float(np.sum(deviations))  # 0 but for the rounding of the mean
    squares = float(np.sum(deviations * deviations)) - slip * slip / numbers.size
    return math.sqrt(max(squares, 0.0) / (numbers.size - 1))
