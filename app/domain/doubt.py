"""The one place that decides whether a reading is in doubt, and why."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from app.domain.reading import Doubt

HANDS_NOT_WASHED = "not"


def doubt_bits(*, unwashed: NDArray[np.bool_]) -> NDArray[np.int32]:
    """The reasons to doubt each reading, from what was written beside it.

    Parameters
    ----------
    unwashed : ndarray of bool, shape (n,)
        Whether "hands not washed" was written: fruit sugar on the finger alone moved results far
        beyond a meter's permitted error in a trial (Hortensius et al., Diabetes Care 2011, read in
        abstract).

    Returns
    -------
    ndarray of int32, shape (n,)
        Bits of `Doubt`.
    """
    return np.where(unwashed, np.int32(Doubt.HANDS), np.int32(Doubt.NONE))


def doubt_of(*, hands: str) -> Doubt:
    """The reasons to doubt one reading."""
    return Doubt(int(doubt_bits(unwashed=np.array([hands == HANDS_NOT_WASHED]))[0]))
