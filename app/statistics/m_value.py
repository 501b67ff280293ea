"""M-value: how far readings stray from one reference, lows and highs by their ratio to it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.values import as_values

# The original's reference; variants with 80, 90 and 100 give quite different numbers.
REFERENCE_MG_DL = 120.0
# From so many readings on the range tells more about n than about glucose and is left out. The
# original counts 25 (from memory); a later table says 24.
NO_RANGE_FROM = 25
RANGE_PARTS = 20.0


@dataclass(frozen=True, slots=True)
class MValue:
    """The M-value, the reference that it was worked with, and whether the range is part of it."""

    value: float | None
    n: int
    reference_mg_dl: float
    with_range: bool


def m_value(mg_dl: ArrayLike, *, reference_mg_dl: float = REFERENCE_MG_DL) -> MValue:
    """Mean of ``|10 lg(G / reference)|^3``, plus a twentieth of the range where readings are few.

    Parameters
    ----------
    mg_dl : array_like, shape (n,)
        The readings that have a number, in mg/dL and above 0; order does not matter.
    reference_mg_dl : float, default 120
        What a reading is held against; say it beside the number.

    Returns
    -------
    MValue
        With no readings, ``value`` is None.

    Raises
    ------
    ValueError
        If `mg_dl` is not one-dimensional, not finite or not above 0, or the reference is not.

    References
    ----------
    J. Schlichtkrull, O. Munck, M. Jersild (1965), Acta Med. Scand. 177, 95-102 (from memory); the
    formula read second-hand (PMC3815489, table).

    Examples
    --------
    >>> found = m_value([92, 118, 145, 187, 103, 231, 76, 160, 134, 112])
    >>> round(found.value, 6), found.with_range
    (11.993887, True)
    """
    numbers = as_values(mg_dl, "mg_dl")
    if numbers.size and float(numbers.min()) <= 0:
        raise ValueError(f"mg_dl must be above 0: mg_dl={numbers.min():g}")
    if not reference_mg_dl > 0:
        raise ValueError(f"the reference must be above 0: reference_mg_dl={reference_mg_dl}")
    with_range = 0 < numbers.size < NO_RANGE_FROM
    if not numbers.size:
        return MValue(None, 0, reference_mg_dl, with_range)
    apart = np.abs(10 * np.log10(numbers / reference_mg_dl))
    found = float(np.mean(apart * apart * apart))
    if with_range:
        found += float(numbers.max() - numbers.min()) / RANGE_PARTS
    return MValue(found, numbers.size, reference_mg_dl, with_range)
