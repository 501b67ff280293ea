"""Written results that a meter's memory should hold and does not: by times alone."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from app.statistics.log_audit import MATCH_SECONDS
from app.statistics.values import as_count, as_labels


def joined_covers(copies: Sequence[tuple[int, int, bool]]) -> list[tuple[int, int]]:
    """The stretches of time that copies of one memory cover together.

    Parameters
    ----------
    copies : sequence of (first, last, overlaps)
        UTC seconds of the oldest and newest record that each copy brought, in the order of the
        copies, and whether it also held records of an earlier copy: then nothing lies between.

    Examples
    --------
    >>> joined_covers([(0, 10, False), (20, 30, True), (50, 60, False)])
    [(0, 30), (50, 60)]
    """
    found: list[tuple[int, int]] = []
    for first, last, overlaps in sorted(copies):
        if found and (overlaps or first <= found[-1][1]):
            found[-1] = (found[-1][0], max(found[-1][1], last))
        else:
            found.append((first, last))
    return found


def without_counterpart(
    written_at: ArrayLike,
    memory_at: ArrayLike,
    covers: Sequence[tuple[int, int]],
    *,
    match_seconds: int = MATCH_SECONDS,
) -> NDArray[np.bool_]:
    """Which written results lie where a memory covers their time and holds none near it.

    Parameters
    ----------
    written_at, memory_at : array_like of int, shapes (n,) and (m,)
        UTC seconds; the order does not matter.
    covers : sequence of (first, last)
        As `joined_covers` gives them, both ends included.
    match_seconds : int, default 300
        How far apart the two may be, that many seconds included.

    Returns
    -------
    ndarray of bool, shape (n,)

    Examples
    --------
    >>> without_counterpart([100, 5000, 99_000], [130, 50_000], [(0, 60_000)]).tolist()
    [False, True, False]
    """
    written = as_labels(written_at, "written_at", np.size(written_at))
    memory = np.sort(as_labels(memory_at, "memory_at", np.size(memory_at)))
    within = as_count(match_seconds, "match_seconds")
    covered = np.zeros(written.size, dtype=np.bool_)
    for first, last in covers:
        covered |= (written >= first) & (written <= last)
    near = np.searchsorted(memory, written + within, side="right") > np.searchsorted(
        memory, written - within, side="left"
    )
    return np.asarray(covered & ~near)
