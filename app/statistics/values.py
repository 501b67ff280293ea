"""What every statistic asks of its arguments, checked once so that the arithmetic can trust it."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray: TypeAlias = NDArray[np.float64]
IntArray: TypeAlias = NDArray[np.int64]


def as_values(values: ArrayLike, name: str = "values", *, infinite: bool = False) -> FloatArray:
    """Check numbers of glucose and return them as a float64 array.

    Parameters
    ----------
    values : array_like, shape (n,)
        Whole numbers or floats; text is refused, also where it looks like a number.
    name : str
        The argument's name, for the message.
    infinite : bool, default False
        Let -inf and +inf through: how off-scale results are ordered. NaN never passes.

    Raises
    ------
    ValueError
        If `values` is not one-dimensional, not numbers, or not finite.
    """
    found = np.asarray(values)
    if found.ndim != 1:
        raise ValueError(f"{name} must be one-dimensional: shape={found.shape}")
    if found.size and found.dtype.kind not in "iuf":
        raise ValueError(f"{name} must be numbers: {name}[0]={found[0]!r}")
    numbers = found.astype(np.float64, copy=False)
    good = ~np.isnan(numbers) if infinite else np.isfinite(numbers)
    if not good.all():
        at = int(np.argmin(good))
        raise ValueError(f"{name} must be {_wanted(infinite)}: {name}[{at}]={numbers[at]}")
    return numbers


def as_labels(labels: ArrayLike, name: str, size: int) -> IntArray:
    """Check whole-number labels (days, marks, minutes), one for each value.

    Parameters
    ----------
    labels : array_like of int, shape (size,)
        Floats are refused, also whole ones: a label is counted, never measured.
    name : str
        The argument's name, for the message.
    size : int
        How many there must be.

    Raises
    ------
    ValueError
        If `labels` is not one-dimensional, not whole numbers, or not `size` long.
    """
    found = np.asarray(labels)
    if found.ndim != 1:
        raise ValueError(f"{name} must be one-dimensional: shape={found.shape}")
    if found.size != size:
        raise ValueError(f"{name} must have one entry a value: {found.size} for {size} values")
    if found.size and found.dtype.kind not in "iu":
        raise ValueError(f"{name} must be whole numbers: {name}[0]={found[0]!r}")
    return found.astype(np.int64, copy=False)


def as_count(count: int, name: str) -> int:
    """Check a count: a whole number, none or more."""
    if count != int(count) or count < 0:
        raise ValueError(f"{name} must be a whole number of at least 0: {name}={count}")
    return int(count)


def as_confidence(confidence: float) -> float:
    """Check a two-sided coverage: strictly between 0 and 1."""
    if not 0 < confidence < 1:
        raise ValueError(f"confidence must lie between 0 and 1: confidence={confidence}")
    return confidence


def _wanted(infinite: bool) -> str:
    return "numbers or plus or minus infinity" if infinite else "finite"
