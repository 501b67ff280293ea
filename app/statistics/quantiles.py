"""Quantiles of types 7 and 6, with off-scale results ordered at the ends."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.ranks import between, positions, ranked
from app.statistics.values import FloatArray, IntArray, as_count, as_values


@dataclass(frozen=True, slots=True)
class Quartiles:
    """The three quartiles; infinite where one is off the scale, None where it has no number."""

    q1: float | None
    median: float | None
    q3: float | None


def quantiles(
    values: ArrayLike,
    probabilities: ArrayLike,
    *,
    kind: int = 7,
    below: int = 0,
    above: int = 0,
) -> FloatArray | None:
    """Quantiles of readings, some of which may be off the meter's scale.

    Type 7 takes ``h = (n - 1) p + 1``, type 6 ``h = (n + 1) p`` kept within 1 to n; both then go
    from the k-th value, k the whole part of h, towards the next by the rest of h.

    Parameters
    ----------
    values : array_like, shape (n,)
        The readings that have a number, all in one unit; order does not matter.
    probabilities : array_like, shape (m,)
        Each from 0 to 1.
    kind : {7, 6}, default 7
        Type 7 is numpy's "linear", type 6 its "weibull". Below 20 readings type 6 gives the plain
        minimum as the 5th percentile.
    below, above : int, default 0
        How many results lay under and over the meter's range. They count as smaller and larger
        than every number, whatever the limit was.

    Returns
    -------
    array, shape (m,), or None
        None with no readings at all. A quantile that needs a result under the range is -inf, over
        it +inf; one that would lie between the two has no number: NaN.

    Raises
    ------
    ValueError
        If `values` is not one-dimensional or not finite, a probability lies outside 0 to 1, a
        count is negative, or `kind` is another.

    References
    ----------
    R. J. Hyndman, Y. Fan (1996), Am. Stat. 50, 361-365.

    Examples
    --------
    >>> quantiles([5.4, 7.8, 11.2, 6.1, 9.9], [0.25, 0.5, 0.75]).tolist()
    [6.1, 7.8, 9.9]
    >>> quantiles([92, 118, 145, 187, 103], [0.5, 1], above=1).tolist()
    [131.5, inf]
    """
    numbers = as_values(values)
    wanted = as_values(probabilities, "probabilities")
    if wanted.size and not 0 <= float(wanted.min()) <= float(wanted.max()) <= 1:
        raise ValueError(f"probabilities must lie from 0 to 1: probabilities={wanted.tolist()}")
    below, above = as_count(below, "below"), as_count(above, "above")
    n = numbers.size + below + above
    lower, fraction = positions(n, wanted, kind)
    if n == 0:
        return None
    upper = np.minimum(lower + 1, n - 1)
    pair = _at_ranks(numbers, np.stack((lower, upper)) - below)
    return between(pair[0], pair[1], fraction)


def quartiles(
    values: ArrayLike, *, kind: int = 7, below: int = 0, above: int = 0
) -> Quartiles | None:
    """The quartiles of readings; see `quantiles` for the arguments and the off-scale results.

    Returns
    -------
    Quartiles or None
        None with no readings at all.

    Examples
    --------
    >>> quartiles([5.4, 7.8, 11.2, 6.1, 9.9])
    Quartiles(q1=6.1, median=7.8, q3=9.9)
    """
    found = quantiles(values, [0.25, 0.5, 0.75], kind=kind, below=below, above=above)
    return None if found is None else Quartiles(*(number_or_none(x) for x in found))


def median(values: ArrayLike, *, below: int = 0, above: int = 0) -> float | None:
    """The median of readings, the same by both types; see `quantiles` for the arguments.

    Returns
    -------
    float or None
        None with no readings, or where it would lie between a result under the range and one over
        it; -inf or +inf where it needs an off-scale result.

    Examples
    --------
    >>> median([5.4, 7.8, 11.2])
    7.8
    """
    found = quantiles(values, [0.5], below=below, above=above)
    return None if found is None else number_or_none(found[0])


def interquartile_range(
    values: ArrayLike, *, kind: int = 7, below: int = 0, above: int = 0
) -> float | None:
    """Upper less lower quartile; None with no readings or where a quartile is off the scale.

    See `quantiles` for the arguments. Name the type beside the figure: the two differ much in
    short records.

    Examples
    --------
    >>> interquartile_range([92, 118, 145, 187, 103, 231, 76, 160, 134, 112])
    51.0
    """
    found = quantiles(values, [0.25, 0.75], kind=kind, below=below, above=above)
    if found is None or not np.isfinite(found).all():
        return None
    return float(found[1] - found[0])


def number_or_none(quantile: float) -> float | None:
    """A quantile as a float, infinite ones included; None where it has no number."""
    return None if math.isnan(quantile) else float(quantile)


def _at_ranks(numbers: FloatArray, ranks: IntArray) -> FloatArray:
    """The values at ranks among the numbers: -inf before the first, +inf after the last."""
    found = np.where(ranks < 0, -np.inf, np.inf)
    inside = (ranks >= 0) & (ranks < numbers.size)
    if inside.any():
        found[inside] = ranked(numbers, ranks[inside])
    return found
