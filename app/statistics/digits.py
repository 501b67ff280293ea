"""Whether written-down results look rounded: their last digits against an even spread.

Only for values as they were typed, in the unit they were typed in: numbers that were converted
from mg/dL to tenths of mmol/L do not have even last digits.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.values import IntArray, as_labels

DIGITS = 10
ROUND_SHARE = 0.2  # two of the ten digits, 0 and 5


@dataclass(frozen=True, slots=True)
class LastDigits:
    """How often each last digit occurs, and how likely that is if all were equally likely.

    `chi_square` has nine degrees of freedom and `p_even` its upper tail · `round_count` end in 0 or
    5, `p_round` is the chance of that many or more out of `n` · all None without readings.
    """

    counts: tuple[int, ...]
    n: int
    chi_square: float | None
    p_even: float | None
    round_count: int
    p_round: float | None


def last_digits(digits: ArrayLike) -> LastDigits:
    """Count last digits and hold them against ten equally likely ones.

    Parameters
    ----------
    digits : array_like of int, shape (n,)
        The last digit of each result as it was typed, 0 to 9.

    Raises
    ------
    ValueError
        If `digits` is not one-dimensional or holds anything but digits.

    References
    ----------
    Pearson's chi-square against equal shares, and the exact binomial tail (textbook).

    Examples
    --------
    >>> found = last_digits([0] * 54 + [1, 2, 3, 4, 6, 7, 8, 9] * 5 + [1] * 6)
    >>> found.n, found.round_count, f"{found.p_round:.3e}"
    (100, 54, '5.816e-14')
    """
    found = _as_digits(digits)
    counts = np.bincount(found, minlength=DIGITS)
    n = int(found.size)
    round_count = int(counts[0] + counts[5])
    if n == 0:
        return LastDigits((0,) * DIGITS, 0, None, None, 0, None)
    expected = n / DIGITS
    chi_square = float(np.sum((counts - expected) ** 2) / expected)
    return LastDigits(
        counts=tuple(counts.tolist()),
        n=n,
        chi_square=chi_square,
        p_even=chi_square_tail_9(chi_square),
        round_count=round_count,
        p_round=binomial_tail(round_count, n, ROUND_SHARE),
    )


def chi_square_tail_9(x: float) -> float:
    """Chance that a chi-square with nine degrees of freedom is `x` or more.

    The closed form for odd degrees of freedom, by repeated integration by parts (textbook); all
    terms are positive, so that small tails keep their digits.

    Examples
    --------
    >>> round(chi_square_tail_9(2.4), 6)
    0.983453
    """
    if not x >= 0:
        raise ValueError(f"a chi-square is not negative: x={x}")
    root = math.sqrt(x)
    terms = root * (1 + x / 3 * (1 + x / 5 * (1 + x / 7)))
    return math.erfc(root / math.sqrt(2)) + math.sqrt(2 / math.pi) * math.exp(-x / 2) * terms


def binomial_tail(count: int, n: int, share: float) -> float:
    """Chance of `count` or more out of `n` where each has the chance `share`, exact.

    Raises
    ------
    ValueError
        If the counts are out of order or `share` is not strictly between 0 and 1.

    Examples
    --------
    >>> round(binomial_tail(25, 100, 0.2), 6)
    0.131353
    """
    if not 0 <= count <= n:
        raise ValueError(f"counts are out of order: count={count}, n={n}")
    if not 0 < share < 1:
        raise ValueError(f"share must lie between 0 and 1: share={share}")
    # Summed from the side on which the terms fall, so that no small number is lost in a large one.
    if count > n * share:
        return _falling(count, n, share)
    return 1.0 - (_falling(n - count + 1, n, 1 - share) if count else 0.0)


def _falling(count: int, n: int, share: float) -> float:
    """The sum of the terms from `count` up, which lies above the mean."""
    log_term = (
        math.lgamma(n + 1)
        - math.lgamma(count + 1)
        - math.lgamma(n - count + 1)
        + count * math.log(share)
        + (n - count) * math.log1p(-share)
    )
    term, total, odds = 1.0, 0.0, share / (1 - share)
    for k in range(count, n + 1):  # stops after a few hundred terms: each is smaller than the last
        total += term
        term *= (n - k) / (k + 1) * odds
        if term < total * 1e-17:
            break
    return min(1.0, math.exp(log_term) * total)


def _as_digits(digits: ArrayLike) -> IntArray:
    found = as_labels(digits, "digits", np.size(digits))
    if found.size and not 0 <= int(found.min()) <= int(found.max()) < DIGITS:
        raise ValueError(f"a last digit is 0 to 9: digits holds {found.min()} to {found.max()}")
    return found
