"""When a meter's memory runs over: the day on which it writes over what no copy holds yet."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.supplies import FEWEST_DAYS, PACE_DAYS
from app.statistics.values import as_labels


@dataclass(frozen=True, slots=True)
class MemoryRoom:
    """The first day on which a result is lost, unless the memory is copied before.

    Days are date ordinals. `per_day` records over `days` whole days before the copy; `missing`
    names what is not known: capacity, copy, pace. With something missing `full_day` is None, and so
    it is where nothing was measured in those days.
    """

    full_day: int | None
    per_day: float | None
    days: int
    missing: tuple[str, ...] = ()


def memory_room(
    capacity: int | None, copied_day: int | None, used_days: ArrayLike, *, since: int | None
) -> MemoryRoom:
    """Forecast from the capacity and the pace of the last 28 whole days before the last copy.

    The first result after a copy is written over by the one that comes `capacity` results later.

    Parameters
    ----------
    capacity : int or None
        How many results the memory holds.
    copied_day : int or None
        The day of the newest record that was copied.
    used_days : array_like of int, shape (n,)
        The day of each record of that meter, control tests too; order does not matter.
    since : int or None
        The first day on which the meter was used at all.

    Raises
    ------
    ValueError
        If the capacity is below 1.

    Examples
    --------
    >>> memory_room(250, 128, [day for day in range(100, 128)] * 5, since=90).full_day
    178
    >>> memory_room(None, 128, [], since=None).missing
    ('capacity', 'pace')
    """
    if capacity is not None and capacity < 1:
        raise ValueError(f"a memory holds at least 1 result: capacity={capacity}")
    missing = [] if capacity is not None else ["capacity"]
    if copied_day is None:
        return MemoryRoom(None, None, 0, (*missing, "copy"))
    days = as_labels(used_days, "used_days", np.size(used_days))
    span = 0 if since is None else max(0, min(PACE_DAYS, copied_day - since))
    if span < FEWEST_DAYS:
        return MemoryRoom(None, None, span, (*missing, "pace"))
    used = int(np.count_nonzero((days >= copied_day - span) & (days < copied_day)))
    per_day = used / span
    if capacity is None or not used:
        return MemoryRoom(None, per_day, span, tuple(missing))
    return MemoryRoom(copied_day + capacity * span // used, per_day, span)
