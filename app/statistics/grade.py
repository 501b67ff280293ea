"""GRADE: readings weighed by how much concern clinicians gave them, and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.values import FloatArray, as_count, as_values

# g = 425 (lg(lg G) + 0.16)^2, G in mmol/L: Hill et al. (2007), Diabet. Med. 24, 753-758 (formula
# read second-hand); the cap of 50 and the cut points 3.9 and 7.8 from memory.
SCALE, OFFSET, CAP = 425.0, 0.16, 50.0
LOW_MMOL_L, HIGH_MMOL_L = 3.9, 7.8


@dataclass(frozen=True, slots=True)
class Grade:
    """The mean weight, and the shares of all weight from below, within and above 3.9 to 7.8 mmol/L.

    The shares (0 to 1) are None where there is no weight at all.
    """

    mean: float | None
    n: int
    from_low: float | None
    from_within: float | None
    from_high: float | None


def grade(
    mmol_l: ArrayLike,
    *,
    low: ArrayLike = LOW_MMOL_L,
    high: ArrayLike = HIGH_MMOL_L,
    below: int = 0,
    above: int = 0,
) -> Grade:
    """Mean GRADE of readings, and how much of it comes from lows, the middle and highs.

    Parameters
    ----------
    mmol_l : array_like, shape (n,)
        The readings that have a number, in mmol/L and above 0; order does not matter.
    low, high : array_like, shape (n,) or ()
        The cut points in mmol/L; both ends belong to the middle. For readings that were entered in
        mg/dL those of that unit, converted as the reading was, so that none falls on the wrong
        side.
    below, above : int, default 0
        How many results lay under and over the meter's range: each weighs 50 on its side.

    Returns
    -------
    Grade
        With no readings everything is None.

    Raises
    ------
    ValueError
        If `mmol_l` is not one-dimensional, not finite or not above 0, if there are neither one nor
        n cut points, or if a count is negative.

    References
    ----------
    N. R. Hill et al. (2007), Diabet. Med. 24, 753-758 (abstract read, formula second-hand).

    Examples
    --------
    >>> found = grade([5.4, 7.8, 11.2, 6.1, 9.9])
    >>> round(found.mean, 6), found.from_low, round(found.from_high, 6)
    (6.251045, 0.0, 0.784699)
    """
    weights = grade_weights(mmol_l)
    numbers = as_values(mmol_l, "mmol_l")
    floor, ceiling = _cut(low, "low", numbers.size), _cut(high, "high", numbers.size)
    below, above = as_count(below, "below"), as_count(above, "above")
    n = numbers.size + below + above
    if n == 0:
        return Grade(None, 0, None, None, None)
    from_low = float(np.sum(weights[numbers < floor])) + CAP * below
    from_high = float(np.sum(weights[numbers > ceiling])) + CAP * above
    within = float(np.sum(weights[(numbers >= floor) & (numbers <= ceiling)]))
    total = from_low + within + from_high
    if total == 0:
        return Grade(0.0, n, None, None, None)
    return Grade(total / n, n, from_low / total, within / total, from_high / total)


def grade_weights(mmol_l: ArrayLike) -> FloatArray:
    """The weight of each reading, 0 to 50; lowest near 4.9 mmol/L.

    Parameters
    ----------
    mmol_l : array_like, shape (n,)
        In mmol/L, above 0. Below about 2.1 the formula passes the cap, which is 50.

    Raises
    ------
    ValueError
        If `mmol_l` is not one-dimensional, not finite or not above 0.

    Examples
    --------
    >>> grade_weights([5, 10, 2, 0.8]).round(6).tolist()
    [0.008448, 10.88, 50.0, 50.0]
    """
    numbers = as_values(mmol_l, "mmol_l")
    if numbers.size and float(numbers.min()) <= 0:
        raise ValueError(f"mmol_l must be above 0: mmol_l={numbers.min():g}")
    # lg(lg G) has no value up to 1 mmol/L; far above that the weight has long reached the cap.
    bent = np.log10(np.log10(np.maximum(numbers, 1.1))) + OFFSET
    return np.asarray(np.minimum(SCALE * bent * bent, CAP), dtype=np.float64)


def _cut(limit: ArrayLike, name: str, size: int) -> FloatArray:
    """A cut point for all readings (shape (1,)) or one for each."""
    found = as_values(np.atleast_1d(limit), name)
    if found.size not in (1, size):
        raise ValueError(f"{name} must be one limit or one a value: {found.size} for {size} values")
    return found
