"""Stamps that a meter wrote after its clock had begun anew at the maker's date."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from itertools import pairwise

# Rules of this diary. Makers let a clock begin on 1 January of some year; the first test after that
# may come a few days later. A shorter step back than a quarter has other causes.
FAR = timedelta(days=90)
_FAR_AHEAD = timedelta(days=300)
_FIRST_DAYS = 7
_STEP = timedelta(days=1)  # summer time ends, a clock is set right: no new beginning


def begins_a_year(wall: datetime) -> bool:
    """Whether a stamp lies in the first week of a year."""
    return wall.month == 1 and wall.day <= _FIRST_DAYS


def at_factory_date(
    walls: Sequence[datetime | None], *, first_use: date | None = None
) -> list[bool]:
    """Which records of a memory bear the time of a clock that began anew, and so say no time.

    A run begins where the stamps step back by more than 90 days to the first week of a year, or
    where the memory itself begins there and is more than 300 days ahead later; it ends where they
    reach again what they had reached. Every stamp more than 90 days before the first use counts.

    Parameters
    ----------
    walls : sequence of datetime or None, length n
        The stamps as the meter showed them, in the order of its memory.
    first_use : date, optional
        The meter's first day.

    Returns
    -------
    list of bool
    """
    bound = None if first_use is None else datetime.combine(first_use, time.min) - FAR
    found = [bound is not None and wall is not None and wall < bound for wall in walls]
    known = [(place, wall) for place, wall in enumerate(walls) if wall is not None]
    reached = _start(known)
    running = reached is not None
    for place, wall in known:
        if reached is None or wall >= reached - _STEP:
            reached, running = wall if reached is None else max(reached, wall), False
        elif running or (wall < reached - FAR and begins_a_year(wall)):
            found[place] = running = True
    return found


def _start(known: Sequence[tuple[int, datetime]]) -> datetime | None:
    """What a memory that begins at a factory date reaches when its clock is set right."""
    if not known or not begins_a_year(known[0][1]):
        return None
    for (_, before), (_, after) in pairwise(known):
        if after - before > _FAR_AHEAD:
            return after
    return None
