"""Which vial a test was made with: the one that was said, else the one its meter used then."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from heapq import heappop, heappush

import numpy as np
from numpy.typing import NDArray

from app.domain.kit import VialUse

_NEVER = 1 << 62

Stretches = dict[int, tuple[NDArray[np.int64], NDArray[np.int64]]]


def stretches_of(uses: Iterable[VialUse]) -> Stretches:
    """By meter, the instants from which on a vial was used (0 for none), and that vial.

    The start of a use belongs to it, the end does not. Of two that overlap the later start counts
    (a second vial taken along), of two with one start the one written later.
    """
    by_meter: dict[int, list[VialUse]] = defaultdict(list)
    for use in uses:
        by_meter[use.meter].append(use)
    return {meter: _stretches(own) for meter, own in by_meter.items()}


def vials_used(
    meter: NDArray[np.int32],
    instant: NDArray[np.int64],
    said: NDArray[np.int32],
    stretches: Stretches,
) -> NDArray[np.int32]:
    """The vial of each reading by local id, 0 where it is not known.

    Parameters
    ----------
    meter, said : ndarray of int, shape (n,)
        Local ids of the meter and of the vial that was said, 0 for none.
    instant : ndarray of int, shape (n,)
        UTC seconds, in any order.
    stretches : dict
        As `stretches_of` gives them.
    """
    if not stretches or not meter.size:
        return said
    found = said.copy()
    unsaid = said == 0
    for each, (starts, vials) in stretches.items():
        places = np.flatnonzero(unsaid & (meter == each))
        if places.size:
            at = np.searchsorted(starts, instant[places], side="right") - 1
            found[places] = np.where(at >= 0, vials[np.maximum(at, 0)], 0)
    return found


def vial_at(stretches: Stretches, meter: int, at: int) -> int:
    """The local id of the vial that a meter used at an instant; 0 where it is not known."""
    if meter not in stretches:
        return 0
    starts, vials = stretches[meter]
    place = int(np.searchsorted(starts, at, side="right")) - 1
    return int(vials[place]) if place >= 0 else 0


def _stretches(uses: list[VialUse]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    turns = sorted({use.start for use in uses} | {use.end for use in uses if use.end is not None})
    begun = sorted(uses, key=lambda use: (use.start, use.id))
    running: list[tuple[int, int, int, int]] = []  # the latest start first
    vials, at = [], 0
    for turn in turns:
        while at < len(begun) and begun[at].start <= turn:
            use = begun[at]
            end = _NEVER if use.end is None else use.end
            heappush(running, (-use.start, -use.id, end, use.vial))
            at += 1
        while running and running[0][2] <= turn:
            heappop(running)
        vials.append(running[0][3] if running else 0)
    return np.array(turns, dtype=np.int64), np.array(vials, dtype=np.int64)
