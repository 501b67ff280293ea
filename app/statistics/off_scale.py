"""What results off the meter's range leave of a mean and a spread: bounds, never guesses."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.values import as_count, as_values

MeanKind = Literal["exact", "at_least", "at_most", "none"]
WhyNoMean = Literal["no_readings", "limit_unknown", "below_and_above"]

# A rule of this diary: so many in a hundred may be left out of a spread, and are said to be.
LEFT_OUT_UP_TO_PERCENT = 1


@dataclass(frozen=True, slots=True)
class BoundedMean:
    """A mean, or the bound that off-scale results leave of it, or why there is neither."""

    kind: MeanKind
    value: float | None  # None where kind is "none"
    why: WhyNoMean | None  # None unless kind is "none"
    n: int  # every result, the off-scale ones too


def mean_or_bound(
    values: ArrayLike,
    *,
    low_limits: ArrayLike = (),
    high_limits: ArrayLike = (),
    unknown: int = 0,
) -> BoundedMean:
    """Mean of readings; with off-scale results the bound that is certain.

    A result under the range is at most the meter's low limit, so the mean is at most the mean with
    the limit in its place; a result over the range bounds it from below in the same way. With both,
    or with a limit that nobody knows, nothing is certain and the reason is given instead.

    Parameters
    ----------
    values : array_like, shape (n,)
        The readings that have a number, all in one unit; order does not matter.
    low_limits, high_limits : array_like, shape (k,)
        The meter's limit for each result under and over its range, in the same unit.
    unknown : int, default 0
        Off-scale results whose limit is not known.

    Raises
    ------
    ValueError
        If an array is not one-dimensional or not finite, or the count is negative.

    Examples
    --------
    >>> mean_or_bound([92, 118, 145, 187, 103], high_limits=[600])
    BoundedMean(kind='at_least', value=207.5, why=None, n=6)
    >>> mean_or_bound([92], low_limits=[20], high_limits=[600]).why
    'below_and_above'
    """
    numbers = as_values(values)
    low, high = as_values(low_limits, "low_limits"), as_values(high_limits, "high_limits")
    n = numbers.size + low.size + high.size + as_count(unknown, "unknown")
    why = _why_no_mean(n, low.size, high.size, unknown)
    if why is not None:
        return BoundedMean("none", None, why, n)
    kind: MeanKind = "at_most" if low.size else "at_least" if high.size else "exact"
    return BoundedMean(kind, float(np.mean(np.concatenate((numbers, low, high)))), None, n)


def may_leave_out(off_scale: int, n: int) -> bool:
    """Whether a spread may be given without its off-scale results: up to 1 % of all `n`.

    For SD, CV and what is built on them. Beyond it the figure is missing, since leaving out the
    extremes makes any spread look smaller.

    Examples
    --------
    >>> may_leave_out(1, 100), may_leave_out(1, 99), may_leave_out(0, 2)
    (True, False, True)
    """
    left_out, all_of_them = as_count(off_scale, "off_scale"), as_count(n, "n")
    if left_out > all_of_them:
        raise ValueError(f"more results off the scale than there are: {off_scale} of {n}")
    return 100 * left_out <= LEFT_OUT_UP_TO_PERCENT * all_of_them


def round_bound(value: float, kind: MeanKind, *, places: int) -> Decimal:
    """Round a bound for display so that it claims no more than is certain.

    "At least" is rounded down and "at most" up. An exact mean has its own rounding (half up), so it
    is refused here.

    Parameters
    ----------
    value : float
        The bound, unrounded.
    kind : {"at_least", "at_most"}
        Which side it bounds.
    places : int
        Decimals wanted: 0 for mg/dL, 1 for mmol/L.

    Raises
    ------
    ValueError
        If `kind` is not one of the two.

    Examples
    --------
    >>> round_bound(207.5, "at_least", places=0), round_bound(110.8333, "at_most", places=0)
    (Decimal('207'), Decimal('111'))
    """
    if kind not in ("at_least", "at_most"):
        raise ValueError(f"only a bound is rounded towards what is certain: kind={kind!r}")
    # To nine places first: 7.2 worked from tenths may come out as 7.199999999999999.
    number = Decimal(repr(round(float(value), 9)))
    towards = ROUND_FLOOR if kind == "at_least" else ROUND_CEILING
    return number.quantize(Decimal(1).scaleb(-places), rounding=towards)


def _why_no_mean(n: int, low: int, high: int, unknown: int) -> WhyNoMean | None:
    if n == 0:
        return "no_readings"
    if low and high:
        return "below_and_above"
    return "limit_unknown" if unknown else None
