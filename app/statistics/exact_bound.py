"""The exact lower bound of a share: so many of so many, and the share is at least this."""

from __future__ import annotations

import numpy as np

from app.statistics.values import FloatArray, as_confidence, as_count

_HALVINGS = 60  # beyond them the bound moves less than the last bit of a share


def exact_lower_bound(count: int, n: int, *, confidence: float = 0.95) -> float:
    """The one-sided exact lower bound (Clopper and Pearson) of the share `count` of `n`.

    It is the share at which as many or more would be seen with a chance of ``1 - confidence``,
    found by halving an interval, so that no special function is needed.

    Parameters
    ----------
    count, n : int
        ``0 <= count <= n``.
    confidence : float, default 0.95
        One-sided coverage, strictly between 0 and 1.

    Returns
    -------
    float
        0 where nothing was seen.

    Raises
    ------
    ValueError
        If the counts are out of order or `confidence` is out of range.

    References
    ----------
    C. J. Clopper, E. S. Pearson (1934), Biometrika 26, 404-413 (from memory).

    Examples
    --------
    >>> round(exact_lower_bound(3, 8), 3), round(exact_lower_bound(5, 5), 3)
    (0.111, 0.549)
    """
    count, n = as_count(count, "count"), as_count(n, "n")
    chance = 1 - as_confidence(confidence)
    if count > n:
        raise ValueError(f"a share cannot be more than all of them: count={count}, n={n}")
    if count == 0:
        return 0.0
    ways = _log_ways(count, n)
    low, high = 0.0, 1.0  # the chance of as many rises with the share, from none to certain
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if _chance_of_as_many(ways, count, n, middle) < chance:
            low = middle
        else:
            high = middle
    return low


def _log_ways(count: int, n: int) -> FloatArray:
    """The logarithms of the ways to choose ``count``, ``count + 1``, ... ``n`` out of n."""
    log_factorial = np.concatenate(([0.0], np.cumsum(np.log(np.arange(1, n + 1)))))
    chosen = np.arange(count, n + 1)
    return np.asarray(
        log_factorial[n] - log_factorial[chosen] - log_factorial[n - chosen], dtype=np.float64
    )


def _chance_of_as_many(ways: FloatArray, count: int, n: int, share: float) -> float:
    """The chance of `count` or more of `n` where each comes with the chance `share`."""
    if not 0 < share < 1:
        return float(share)
    chosen = np.arange(count, n + 1)
    return float(np.exp(ways + chosen * np.log(share) + (n - chosen) * np.log1p(-share)).sum())
