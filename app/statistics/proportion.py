"""Shares of readings with Wilson limits, and the five bands that readings fall into."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.values import FloatArray, as_confidence, as_count, as_values


@dataclass(frozen=True, slots=True)
class Proportion:
    """So many of so many, their share (0 to 1) and its limits; None where there are no readings."""

    count: int
    n: int
    share: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class BandCounts:
    """How many readings lie in each of the five bands."""

    very_low: int
    low: int
    in_range: int
    high: int
    very_high: int

    @property
    def n(self) -> int:
        """All readings that were counted."""
        return self.very_low + self.low + self.in_range + self.high + self.very_high


def share_of(count: int, n: int, *, confidence: float = 0.95) -> Proportion:
    """The share `count` of `n`, with Wilson limits.

    Parameters
    ----------
    count, n : int
        ``0 <= count <= n``.
    confidence : float, default 0.95
        Two-sided coverage, strictly between 0 and 1.

    Returns
    -------
    Proportion
        With ``n`` 0 the share and its limits are None.

    Raises
    ------
    ValueError
        If the counts are out of order or `confidence` is out of range.

    References
    ----------
    E. B. Wilson (1927), J. Am. Stat. Assoc. 22, 209-212.

    Examples
    --------
    >>> found = share_of(70, 100)
    >>> found.share, round(found.low, 3), round(found.high, 3)
    (0.7, 0.604, 0.781)
    """
    count, n = as_count(count, "count"), as_count(n, "n")
    if count > n:
        raise ValueError(f"a share cannot be more than all of them: count={count}, n={n}")
    z = NormalDist().inv_cdf(0.5 + as_confidence(confidence) / 2)
    if n == 0:
        return Proportion(0, 0, None, None, None)
    share = count / n
    centre = share + z * z / (2 * n)
    reach = z * math.sqrt(share * (1 - share) / n + z * z / (4 * n * n))
    scale = 1 + z * z / n
    # None and all reach 0 and 1 exactly; rounding must neither miss that nor pass it.
    low = 0.0 if count == 0 else max(0.0, (centre - reach) / scale)
    high = 1.0 if count == n else min(1.0, (centre + reach) / scale)
    return Proportion(count, n, share, low, high)


def share_in_range(
    values: ArrayLike, low: ArrayLike, high: ArrayLike, *, confidence: float = 0.95
) -> Proportion:
    """Share of readings with ``low <= value <= high``, with Wilson limits.

    Parameters
    ----------
    values : array_like, shape (n,)
        One value for each reading, in the unit it was entered in; order does not matter.
    low, high : array_like, shape (n,) or ()
        Edges of the range, both included: of each limit pair the number for that unit.
    confidence : float, default 0.95
        Two-sided coverage, strictly between 0 and 1.

    Returns
    -------
    Proportion
        With no readings, ``count`` is 0 and ``share`` is None.

    Raises
    ------
    ValueError
        If `values` is not one-dimensional or not all finite, or the range is upside down.

    References
    ----------
    E. B. Wilson (1927), J. Am. Stat. Assoc. 22, 209-212.

    Examples
    --------
    >>> share_in_range([54, 70, 180, 181], 70, 180).count
    2
    """
    numbers = as_values(values)
    bottom, top = _limit(low, "low", numbers.size), _limit(high, "high", numbers.size)
    _check_order(("low", bottom), ("high", top))
    count = int(np.count_nonzero((numbers >= bottom) & (numbers <= top)))
    return share_of(count, numbers.size, confidence=confidence)


def band_counts(
    values: ArrayLike,
    *,
    very_low: ArrayLike,
    low: ArrayLike,
    high: ArrayLike,
    very_high: ArrayLike,
) -> BandCounts:
    """Count the readings under, in and over a range, with a further limit on each side.

    The bands are ``v < very_low``, ``very_low <= v < low``, ``low <= v <= high``,
    ``high < v <= very_high`` and ``v > very_high``.

    Parameters
    ----------
    values : array_like, shape (n,)
        One value for each reading, in the unit it was entered in; order does not matter. A result
        under or over the meter's range may be -inf or +inf (its limit unknown: the outermost band),
        or the nearest number below or above the meter's limit.
    very_low, low, high, very_high : array_like, shape (n,) or ()
        Of each limit pair the number for the unit of that reading. Converting the reading instead
        misfiles the edges: 10.0 mmol/L is 180.16 mg/dL.

    Raises
    ------
    ValueError
        If `values` is not one-dimensional or holds NaN, or the limits are out of order.

    Examples
    --------
    >>> band_counts([3.0, 3.9, 10.0, 14.0], very_low=3.0, low=3.9, high=10.0, very_high=13.9)
    BandCounts(very_low=0, low=1, in_range=2, high=0, very_high=1)
    """
    numbers = as_values(values, infinite=True)
    named = (("very_low", very_low), ("low", low), ("high", high), ("very_high", very_high))
    limits = [(name, _limit(limit, name, numbers.size)) for name, limit in named]
    for lower, upper in pairwise(limits):
        _check_order(lower, upper)
    floor, bottom, top, ceiling = (limit for _, limit in limits)
    under_floor = int(np.count_nonzero(numbers < floor))
    under = int(np.count_nonzero(numbers < bottom))
    over = int(np.count_nonzero(numbers > top))
    over_ceiling = int(np.count_nonzero(numbers > ceiling))
    return BandCounts(
        very_low=under_floor,
        low=under - under_floor,
        in_range=numbers.size - under - over,
        high=over - over_ceiling,
        very_high=over_ceiling,
    )


def _limit(limit: ArrayLike, name: str, size: int) -> FloatArray:
    """A limit for all readings (shape (1,)) or one for each."""
    found = as_values(np.atleast_1d(limit), name)
    if np.ndim(limit) and found.size != size:
        raise ValueError(f"{name} must be one limit or one a value: {found.size} for {size} values")
    return found


def _check_order(lower: tuple[str, FloatArray], upper: tuple[str, FloatArray]) -> None:
    (lower_name, below), (upper_name, above) = lower, upper
    wrong = below > above
    if wrong.any():
        at = int(np.argmax(wrong))
        shown = (np.broadcast_to(limit, wrong.shape)[at] for limit in (below, above))
        pair = ", ".join(
            f"{name}={limit:g}" for name, limit in zip((lower_name, upper_name), shown, strict=True)
        )
        raise ValueError(f"range is upside down: {pair}")
