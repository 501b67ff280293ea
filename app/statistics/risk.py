"""Low and high blood glucose index: how far a record strays into risky lows and highs.

Made for sparse self-tests. The average daily risk range built on the same function is left out on
purpose: a public patent listing claims it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.values import FloatArray, as_count, as_values

# f(G) = 1.509 ((ln G)^1.084 - 5.381), G in mg/dL; risk 10 f^2: Kovatchev et al. (1997), Diabetes
# Care 20, 1655-1658. Constants from memory, confirmed by solving the published construction rules
# for 20, 70, 180 and 600 mg/dL. The paper's mmol/L form differs by up to 1 %: it is not used.
SCALE, EXPONENT, OFFSET = 1.509, 1.084, 5.381
# What the function was built to give at 20 and at 600 mg/dL, the ends of a meter's range.
OFF_SCALE_RISK = 100.0


@dataclass(frozen=True, slots=True)
class RiskIndices:
    """Low and high blood glucose index, and the number of readings that they are means over."""

    lbgi: float | None
    hbgi: float | None
    n: int


def risk_indices(mg_dl: ArrayLike, *, below: int = 0, above: int = 0) -> RiskIndices:
    """Means over all readings of the risk of those on the low and on the high side.

    Parameters
    ----------
    mg_dl : array_like, shape (n,)
        The readings that have a number, in mg/dL and above 0; order does not matter.
    below, above : int, default 0
        How many results lay under and over the meter's range: each has a risk of 100 on its side.

    Returns
    -------
    RiskIndices
        With no readings both indices are None.

    Raises
    ------
    ValueError
        If `mg_dl` is not one-dimensional, not finite or not above 0, or a count is negative.

    References
    ----------
    B. P. Kovatchev et al. (1998), Diabetes Care 21, 1870-1875 (from memory).

    Examples
    --------
    >>> found = risk_indices([54, 70, 100, 180, 250])
    >>> round(found.lbgi, 6), round(found.hbgi, 6)
    (5.339724, 6.033102)
    """
    symmetric = symmetric_glucose(mg_dl)
    below, above = as_count(below, "below"), as_count(above, "above")
    n = symmetric.size + below + above
    if n == 0:
        return RiskIndices(None, None, 0)
    # Summed, not low @ low: that waits for BLAS threads, ten times as long on a busy machine.
    low, high = np.minimum(symmetric, 0), np.maximum(symmetric, 0)
    return RiskIndices(
        lbgi=(10 * float(np.sum(low * low)) + OFF_SCALE_RISK * below) / n,
        hbgi=(10 * float(np.sum(high * high)) + OFF_SCALE_RISK * above) / n,
        n=n,
    )


def symmetric_glucose(mg_dl: ArrayLike) -> FloatArray:
    """Glucose on the scale where lows and highs weigh alike: negative low, positive high.

    Parameters
    ----------
    mg_dl : array_like, shape (n,)
        In mg/dL, above 0. Below 1 mg/dL, where the function has no value, that of 1 is given.

    Returns
    -------
    array, shape (n,)
        About -3.16 to 3.16 between 20 and 600 mg/dL, about 0 at 112.5. Ten times its square is
        the risk of a reading.

    Raises
    ------
    ValueError
        If `mg_dl` is not one-dimensional, not finite or not above 0.
    """
    numbers = as_values(mg_dl, "mg_dl")
    if numbers.size and float(numbers.min()) <= 0:
        raise ValueError(f"mg_dl must be above 0: mg_dl={numbers.min():g}")
    return SCALE * (np.log(np.maximum(numbers, 1.0)) ** EXPONENT - OFFSET)
