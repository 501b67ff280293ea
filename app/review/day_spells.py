"""The low spells of one diary day, each with how it ended: closed, still open, or not rechecked."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from app.review.counted import Counted
from app.review.day_axis import from_start
from app.review.parts import is_low
from app.statistics.spells import CHAIN_SECONDS, low_spells
from app.statistics.values import IntArray

_DAY_MINUTES = 1440.0


class SpellEnd(Enum):
    """How a low spell ended."""

    CLOSED = "closed"  # by a reading that is not low
    OPEN = "open"  # the last one is low, and an hour has not passed
    NO_RECHECK = "no recheck written"


@dataclass(frozen=True, slots=True)
class LowSpell:
    """A low and the readings that hang on it.

    `start` and `end` lie on the axis of the day, in minutes · `began` is the minute of the local
    day of its first reading · `minutes` from the first to the last reading, of an open one to now ·
    `next_min` minutes from its last reading to the next value, of one that was not rechecked; None
    while there is none · `ids` of its readings, the closing one among them.
    """

    start: float
    end: float
    began: int
    minutes: int
    ended: SpellEnd
    next_min: int | None
    ids: tuple[int, ...]


def day_spells(counted: Counted, day: int, *, day_start: int, now: int) -> tuple[LowSpell, ...]:
    """The low spells that have a reading on a diary day, in the order of time.

    Parameters
    ----------
    counted : Counted
        The readings that count, from a day before `day` on at least: a spell may come over the
        start of the day. What follows the day tells how its last spell ended.
    day : int
        The diary day, a date ordinal.
    day_start : int
        The hour at which it begins.
    now : int
        UTC seconds.
    """
    columns, low = counted.columns, is_low(counted)
    found = low_spells(columns.instant, low)
    chain = np.cumsum(found.begins)
    in_spell = low | found.recheck
    spells = []
    for number in np.unique(chain[in_spell & (columns.day == day)]).tolist():
        rows = np.flatnonzero(in_spell & (chain == number))
        spells.append(_spell(counted, rows, low, day, day_start, now))
    return tuple(spells)


def _spell(
    counted: Counted, rows: IntArray, low: NDArray[np.bool_], day: int, day_start: int, now: int
) -> LowSpell:
    columns = counted.columns
    first, last = int(rows[0]), int(rows[-1])
    instants = columns.instant
    till, following = int(instants[last]), None
    if not low[last]:
        ended = SpellEnd.CLOSED
    elif last == counted.n - 1 and 0 <= now - till <= CHAIN_SECONDS:
        ended, till = SpellEnd.OPEN, now
    else:
        ended = SpellEnd.NO_RECHECK
        if last < counted.n - 1:
            following = int(instants[last + 1] - instants[last]) // 60
    places = from_start(columns.minute[rows], day_start)
    # What lies on a neighbouring day is drawn to the edge of this one.
    places = np.where(columns.day[rows] < day, 0.0, places)
    places = np.where(columns.day[rows] > day, _DAY_MINUTES, places)
    return LowSpell(
        start=float(places.min()),
        end=float(places.max()),
        began=int(columns.minute[first]),
        minutes=(till - int(instants[first])) // 60,
        ended=ended,
        next_min=following,
        ids=tuple(columns.id[rows].tolist()),
    )
