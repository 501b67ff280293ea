"""The exact lower bound of a share: so many of so many, and the share is at least this."""

from __future__ import annotations

from app.statistics.digits import binomial_tail
from app.statistics.values import as_confidence, as_count

_HALVINGS = 52  # the bound is then known to the last bit of 1


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
    low, high = 0.0, 1.0  # the chance of as many rises with the share, from none to certain
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if binomial_tail(count, n, middle) < chance:
            low = middle
        else:
            high = middle
    return low
