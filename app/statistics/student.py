"""Student's t: how far out a share of it lies, worked without any library of special functions."""

from __future__ import annotations

import math
from statistics import NormalDist

_TINY = 1e-300
_EPSILON = 1e-16
_STEPS = 400  # the continued fraction needs a few dozen; far beyond, it would be our bug


def t_quantile(probability: float, degrees: float) -> float:
    """The point of Student's t with so many degrees of freedom below which `probability` lies.

    The distribution function is the regularised incomplete beta function by its continued fraction;
    the point is found by halving, which no spread of the tails can lead astray.

    Parameters
    ----------
    probability : float
        Strictly between 0 and 1.
    degrees : float
        Above 0; need not be whole (Welch's are not). Infinite gives the normal distribution.

    Raises
    ------
    ValueError
        If an argument is out of range.

    References
    ----------
    M. Abramowitz, I. A. Stegun (1964), Handbook of Mathematical Functions, 26.5.8 and 26.7.1 (from
    memory).

    Examples
    --------
    >>> round(t_quantile(0.975, 9), 6)
    2.262157
    """
    if not 0 < probability < 1:
        raise ValueError(f"probability must lie between 0 and 1: probability={probability}")
    if not degrees > 0:
        raise ValueError(f"degrees must be above 0: degrees={degrees}")
    if math.isinf(degrees):
        return NormalDist().inv_cdf(probability)
    tail = min(probability, 1 - probability)
    if tail == 0.5:
        return 0.0
    near, far = 0.0, 1.0
    while _tail(far, degrees) > tail:
        near, far = far, far * 2
    while True:
        middle = (near + far) / 2
        if middle in (near, far):
            break
        if _tail(middle, degrees) > tail:
            near = middle
        else:
            far = middle
    return far if probability > 0.5 else -far


def _tail(t: float, degrees: float) -> float:
    """How much of the distribution lies above t, for t from 0 on."""
    # With the small side as the argument of the beta function, far tails keep their digits.
    return 0.5 * _beta_share(degrees / (degrees + t * t), degrees / 2, 0.5)


def _beta_share(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function."""
    if x <= 0 or x >= 1:
        return max(0.0, min(1.0, x))
    if x > (a + 1) / (a + b + 2):  # the fraction converges quickly on one side only
        return 1 - _beta_share(1 - x, b, a)
    log = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    return math.exp(log + a * math.log(x) + b * math.log1p(-x)) / a * _fraction(x, a, b)


def _fraction(x: float, a: float, b: float) -> float:
    """The continued fraction of the beta function, by Lentz's method."""
    c, d = 1.0, 1 / _off_zero(1 - (a + b) * x / (a + 1))
    found = d
    for m in range(1, _STEPS):
        for term in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / _off_zero(1 + term * d)
            c = _off_zero(1 + term / c)
            found *= c * d
        if abs(c * d - 1) < _EPSILON:
            break
    return found


def _off_zero(number: float) -> float:
    return number if abs(number) > _TINY else _TINY
