"""The last reading of a person, and how long ago that was, in words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from app.domain.clock import FUTURE_SECONDS
from app.domain.glucose import Glucose
from app.domain.levels import Level, level_of
from app.domain.marks import MARKS, Mark
from app.domain.reading import STANDINGS, Doubt, Standing
from app.review.one_reading import glucose_at, wall_at
from app.review.record import Record
from app.store.columns import NO_VALUE

_NOT_MINE = STANDINGS.index(Standing.NOT_MINE)
_MINUTE, _HOUR, _DAY = 60, 3600, 86400
_HOURS_WITH_MINUTES = 6  # a rule of this diary: later the minutes tell nothing


@dataclass(frozen=True, slots=True)
class Last:
    """The last reading: what it was, when by the clocks of its place, and its age."""

    id: int
    glucose: Glucose
    level: Level
    mark: Mark
    doubt: Doubt
    standing: Standing
    wall: datetime
    age_s: int

    @property
    def age(self) -> str:
        """Its age in words: "33 min ago"."""
        return age_words(self.age_s)


def last_of(record: Record, now: datetime) -> Last | None:
    """The newest reading by instant, of two at one instant the one written later.

    Left out are readings that are not the person's, without a value, and those more than ten
    minutes in the future: a slip of the date must not hide what was measured last. `now` is aware.
    """
    columns = record.columns
    at = int(now.timestamp())
    fits = (
        (columns.standing != _NOT_MINE)
        & (columns.bound != NO_VALUE)
        & (columns.instant <= at + FUTURE_SECONDS)
    )
    found = np.flatnonzero(fits)
    if not found.size:
        return None
    i = int(found[-1])  # columns are sorted by instant, ties by row
    glucose = glucose_at(columns, i)
    return Last(
        id=int(columns.id[i]),
        glucose=glucose,
        level=level_of(glucose),
        mark=MARKS[int(columns.mark[i])],
        doubt=Doubt(int(columns.doubt[i])),
        standing=STANDINGS[int(columns.standing[i])],
        wall=wall_at(columns, i, record.person.day_start),
        age_s=max(0, at - int(columns.instant[i])),
    )


def age_words(seconds: int) -> str:
    """How long ago something was; what is not past yet is "just now", never negative.

    >>> age_words(-300), age_words(33 * 60), age_words(100 * 60), age_words(30 * 3600)
    ('just now', '33 min ago', '1 h 40 min ago', '30 h ago')
    """
    if seconds < _MINUTE:
        return "just now"
    if seconds < _HOUR:
        return f"{seconds // _MINUTE} min ago"
    hours, minutes = seconds // _HOUR, seconds % _HOUR // _MINUTE
    if hours < _HOURS_WITH_MINUTES and minutes:
        return f"{hours} h {minutes} min ago"
    return f"{hours} h ago" if seconds < 2 * _DAY else f"{seconds // _DAY} days ago"
