"""How sure the mean is, if the days had fallen otherwise: an interval that resamples whole days."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.quantiles import quantiles
from app.statistics.runs import DayRuns, runs_by_day
from app.statistics.values import FloatArray, as_confidence, as_labels, as_values

RESAMPLES = 5_000
SEED = 20_240  # any fixed number: the same diary gives the same interval each time
BOOTSTRAP_UP_TO_DAYS = 400  # beyond it the closed form agrees and costs nothing
CHUNK = 500_000  # day numbers drawn at a time, so that memory stays small

Method = Literal["bootstrap", "closed form"]


@dataclass(frozen=True, slots=True)
class MeanInterval:
    """Limits of the mean, how they were found, and from how many days with a reading."""

    low: float
    high: float
    method: Method
    days: int


def mean_interval(
    values: ArrayLike,
    days: ArrayLike,
    *,
    confidence: float = 0.95,
    resamples: int = RESAMPLES,
    seed: int = SEED,
    bootstrap_up_to_days: int = BOOTSTRAP_UP_TO_DAYS,
) -> MeanInterval | None:
    """Interval for the mean of all readings, with whole days as what chance has dealt.

    Results of one day hang together, so days are resampled and not results. Up to
    `bootstrap_up_to_days` days with a reading it is the percentile bootstrap (quantiles of type 7);
    beyond, the linearised variance of a ratio of day sums to day counts, with normal limits.
    It does not cover that people choose when to test.

    Parameters
    ----------
    values : array_like, shape (n,)
        One value for each reading, all in one unit; order does not matter.
    days : array_like of int, shape (n,)
        The diary-day number of each reading.
    confidence : float, default 0.95
        Two-sided coverage, strictly between 0 and 1.
    resamples, seed, bootstrap_up_to_days : int
        For checks; the defaults are what the diary shows.

    Returns
    -------
    MeanInterval or None
        None with fewer than two days that have a reading.

    Raises
    ------
    ValueError
        If an argument is not one-dimensional, not finite, of another length or out of range.

    References
    ----------
    B. Efron, R. J. Tibshirani (1993), An Introduction to the Bootstrap; W. G. Cochran (1977),
    Sampling Techniques, chapters 6 and 9 (both from memory).

    Examples
    --------
    >>> mean_interval([100, 120, 140, 160], [1, 1, 2, 2])
    MeanInterval(low=110.0, high=150.0, method='bootstrap', days=2)
    """
    numbers = as_values(values)
    runs = runs_by_day(numbers, as_labels(days, "days", numbers.size))
    tail = (1 - as_confidence(confidence)) / 2
    if runs.days.size < 2:
        return None
    if runs.days.size > bootstrap_up_to_days:
        low, high = _closed_form(runs, tail)
        return MeanInterval(low, high, "closed form", runs.days.size)
    means = _resampled_means(runs, resamples, seed)
    limits = quantiles(means, [tail, 1 - tail])
    assert limits is not None  # there is at least one resample
    return MeanInterval(float(limits[0]), float(limits[1]), "bootstrap", runs.days.size)


def resampled_means(
    values: ArrayLike, days: ArrayLike, *, resamples: int = RESAMPLES, seed: int = SEED
) -> FloatArray:
    """Means of all readings of as many days again, drawn with replacement.

    Parameters
    ----------
    values, days : array_like, shape (n,)
        As for `mean_interval`; at least one reading.
    resamples, seed : int
        How many means, and where the draws begin.

    Returns
    -------
    array, shape (resamples,)

    Raises
    ------
    ValueError
        If there are no readings, or an argument is not as asked.
    """
    numbers = as_values(values)
    if not numbers.size:
        raise ValueError("nothing to resample: values is empty")
    runs = runs_by_day(numbers, as_labels(days, "days", numbers.size))
    return _resampled_means(runs, resamples, seed)


def _resampled_means(runs: DayRuns, resamples: int, seed: int) -> FloatArray:
    if resamples < 1:
        raise ValueError(f"at least one resample is needed: resamples={resamples}")
    # Distances from the mean are resampled, so that a small spread beside a large mean keeps its
    # digits; a day's draw then needs its sum and its count, never its readings.
    centre = float(np.mean(runs.values))
    sums, counts = runs.sums - centre * runs.counts, runs.counts.astype(np.float64)
    draw = np.random.default_rng(seed)
    many = sums.size
    rows = max(1, CHUNK // many)
    parts = []
    for done in range(0, resamples, rows):
        drawn = draw.integers(0, many, size=(min(rows, resamples - done), many), dtype=np.int32)
        parts.append(sums[drawn].sum(axis=1) / counts[drawn].sum(axis=1))
    return centre + np.concatenate(parts)


def _closed_form(runs: DayRuns, tail: float) -> tuple[float, float]:
    centre = float(np.mean(runs.values))
    many, n = runs.days.size, runs.values.size
    residuals = runs.sums - centre * runs.counts
    error = math.sqrt(many / (many - 1) * float(np.sum(residuals * residuals))) / n
    reach = NormalDist().inv_cdf(1 - tail) * error
    return centre - reach, centre + reach
