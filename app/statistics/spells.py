"""Low spells: a low, and the rechecks that hang on it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from app.statistics.values import IntArray, as_labels

# A rule of this diary: a reading within an hour of the last one of a spell belongs to it.
CHAIN_SECONDS = 3600


@dataclass(frozen=True, slots=True)
class Spells:
    """Which readings begin a spell, and which are rechecks in one; in the order given."""

    begins: NDArray[np.bool_]
    recheck: NDArray[np.bool_]

    @property
    def count(self) -> int:
        """How many spells there are."""
        return int(np.count_nonzero(self.begins))


def low_spells(instants: ArrayLike, is_low: ArrayLike) -> Spells:
    """Gather lows and the readings after them into spells.

    A low that hangs on nothing begins a spell. A reading within 60 minutes of the last one of the
    spell belongs to it, and the first that is not low closes it.

    Parameters
    ----------
    instants : array_like of int, shape (n,)
        Seconds, sorted.
    is_low : array_like of bool, shape (n,)
        Whether each reading lies below the low line.

    Raises
    ------
    ValueError
        If the arrays differ in length or the instants step back.

    Examples
    --------
    >>> low_spells([0, 960, 1980, 9000], [True, True, False, True]).recheck.tolist()
    [False, True, True, False]
    """
    low = np.asarray(is_low, dtype=np.bool_)
    seconds = as_labels(instants, "instants", low.size)
    if np.any(np.diff(seconds) < 0):
        raise ValueError("the instants step back; sort the readings first")
    recheck = np.zeros(low.size, dtype=np.bool_)
    # Every low is in a spell, so whether a reading hangs on the one before needs no look further.
    recheck[1:] = low[:-1] & (np.diff(seconds) <= CHAIN_SECONDS)
    return Spells(begins=low & ~recheck, recheck=recheck)


@dataclass(frozen=True, slots=True)
class SpellEnds:
    """One entry for each spell: the places of its first reading and its last low, and its end.

    `closed` says whether a reading that is not low hangs on the last low.
    """

    first: IntArray
    last_low: IntArray
    closed: NDArray[np.bool_]

    def having(self, lows: ArrayLike) -> NDArray[np.bool_]:
        """Which spells have one of the `lows`, shape (n,), marked among all readings."""
        marked = np.asarray(lows, dtype=np.bool_)
        if not self.first.size:
            return np.zeros(0, dtype=np.bool_)  # reduceat refuses an empty array
        return np.asarray(np.logical_or.reduceat(marked, self.first), dtype=np.bool_)


def spell_ends(instants: ArrayLike, is_low: ArrayLike) -> SpellEnds:
    """How each low spell ended; for the arguments and errors see `low_spells`.

    Examples
    --------
    >>> found = spell_ends([0, 960, 1980, 9000], [True, True, False, True])
    >>> found.first.tolist(), found.last_low.tolist(), found.closed.tolist()
    ([0, 3], [1, 3], [True, False])
    """
    low = np.asarray(is_low, dtype=np.bool_)
    found = low_spells(instants, low)
    first = np.flatnonzero(found.begins)
    lows = np.flatnonzero(low)
    # The last low before the next spell begins.
    last_low = (
        lows[np.searchsorted(lows, np.append(first[1:], low.size)) - 1] if lows.size else lows
    )
    follows = np.append(found.recheck, False)[last_low + 1]
    return SpellEnds(first.astype(np.int64), last_low.astype(np.int64), follows)
