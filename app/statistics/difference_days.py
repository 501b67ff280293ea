"""How sure a difference of means is if whole days had fallen otherwise: the check of Welch's."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from app.statistics.difference import Side
from app.statistics.intervals import BOOTSTRAP_UP_TO_DAYS, RESAMPLES, SEED
from app.statistics.quantiles import quantiles
from app.statistics.values import FloatArray, IntArray, as_confidence

# Where a thin group is missing from more resamples than this, their percentiles say too little.
_MISSING_UP_TO = 0.1


@dataclass(frozen=True, slots=True)
class Limits:
    """An interval of the difference found from whole days, and from how many."""

    low: float
    high: float
    days: int


def difference_over_days(
    first: Side,
    second: Side,
    *,
    confidence: float = 0.95,
    resamples: int = RESAMPLES,
    seed: int = SEED,
    bootstrap_up_to_days: int = BOOTSTRAP_UP_TO_DAYS,
) -> Limits | None:
    """A check of the interval that lets whole days vary, since readings of a day hang together.

    Days of one side only, of the other only and of both are drawn anew among their own kind, and
    the percentiles (type 7) of the evened differences are the limits. Beyond
    `bootstrap_up_to_days` days the linearised variance of day sums takes its place.

    Parameters
    ----------
    first, second : Side
        From `side_of`.
    confidence : float, default 0.95
        Two-sided coverage, strictly between 0 and 1.
    resamples, seed, bootstrap_up_to_days : int
        For checks; the defaults are what the diary shows.

    Returns
    -------
    Limits or None
        None where no group is on both sides, a side has fewer than two days, or a group is so thin
        that many resamples lack it.

    Raises
    ------
    ValueError
        If `confidence` is out of range.

    References
    ----------
    B. Efron, R. J. Tibshirani (1993), An Introduction to the Bootstrap, chapter 8; W. G. Cochran
    (1977), Sampling Techniques, chapter 6 (both from memory).
    """
    tail = (1 - as_confidence(confidence)) / 2
    groups = np.intersect1d(first.groups, second.groups)
    sides = [_kept(side, groups) for side in (first, second)]
    if not groups.size or any(np.unique(side.days).size < 2 for side in sides):
        return None
    days = np.union1d(sides[0].days, sides[1].days)
    tables = [_by_day(side, days, groups) for side in sides]
    if days.size > bootstrap_up_to_days:
        low, high = _closed_form(tables, tail)
        return Limits(low, high, days.size)
    totals = _times_drawn(_strata(sides, days), days.size, resamples, seed) @ np.hstack(
        [part for table in tables for part in table]
    )
    sums_1, counts_1, sums_2, counts_2 = np.hsplit(totals, 4)
    with np.errstate(invalid="ignore", divide="ignore"):
        differences = np.mean(sums_2 / counts_2, axis=1) - np.mean(sums_1 / counts_1, axis=1)
    whole = differences[np.isfinite(differences)]
    if whole.size < (1 - _MISSING_UP_TO) * resamples:
        return None
    limits = quantiles(whole, [tail, 1 - tail])
    if limits is None:
        return None
    return Limits(float(limits[0]), float(limits[1]), days.size)


def _kept(side: Side, groups: IntArray) -> Side:
    inside = np.isin(side.groups, groups)
    return Side(side.values[inside], side.groups[inside], side.days[inside])


def _by_day(side: Side, days: IntArray, groups: IntArray) -> tuple[FloatArray, FloatArray]:
    """Sums and counts, one row for each day and one column for each group."""
    shape = (days.size, groups.size)
    place = np.searchsorted(days, side.days) * groups.size + np.searchsorted(groups, side.groups)
    size = days.size * groups.size
    sums = np.bincount(place, weights=side.values, minlength=size).reshape(shape)
    counts = np.bincount(place, minlength=size).reshape(shape)
    return np.asarray(sums, dtype=np.float64), counts.astype(np.float64)


def _strata(sides: list[Side], days: IntArray) -> list[IntArray]:
    """Places of the days of one side alone, of the other, of both, by their first day.

    Their order hangs on the days and not on which side is called the first, so that two sides
    exchanged give the negated limits to the last digit.
    """
    there = [np.isin(days, side.days) for side in sides]
    kinds = (there[0] & ~there[1], there[1] & ~there[0], there[0] & there[1])
    found = [np.flatnonzero(kind) for kind in kinds if kind.any()]
    return sorted(found, key=lambda places: int(places[0]))


def _times_drawn(strata: list[IntArray], days: int, resamples: int, seed: int) -> FloatArray:
    """How often each day is drawn, one row for each resample; each stratum by itself."""
    draw = np.random.default_rng(seed)
    times = np.zeros((resamples, days))
    rows = np.arange(resamples)[:, np.newaxis]
    for stratum in strata:
        many = stratum.size
        drawn = draw.integers(0, many, size=(resamples, many)) + rows * many
        counts = np.bincount(drawn.ravel(), minlength=resamples * many)
        times[:, stratum] = counts.reshape(resamples, many)
    return times


def _closed_form(tables: list[tuple[FloatArray, FloatArray]], tail: float) -> tuple[float, float]:
    middle, pull = 0.0, np.zeros(tables[0][0].shape[0])
    for sign, (sums, counts) in zip((-1, 1), tables, strict=True):
        n = counts.sum(axis=0)
        means = sums.sum(axis=0) / n
        middle += sign * float(np.mean(means))
        pull += sign * np.mean((sums - means * counts) / n, axis=1)
    many = pull.size
    error = math.sqrt(many / (many - 1) * float(np.sum(pull * pull)))
    reach = NormalDist().inv_cdf(1 - tail) * error
    return middle - reach, middle + reach
