"""Low spells told in full: each reading of the chain, and how it ended."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from app.domain.glucose import Bound, Glucose
from app.domain.levels import Level, level_of
from app.domain.marks import MARKS, Mark
from app.domain.person import Person
from app.domain.reading import Doubt
from app.domain.safety import USUAL, SafetyLine
from app.domain.written import Span
from app.review.counted import Counted
from app.review.day_spells import SpellEnd
from app.review.one_reading import glucose_at, wall_at
from app.statistics.around_lows import value_after
from app.statistics.spells import CHAIN_SECONDS, spell_ends
from app.statistics.values import IntArray
from app.store.columns import Columns


@dataclass(frozen=True, slots=True)
class LowReading:
    """One reading of the list of lows.

    `wall` is naive, by the clocks of the place · `minutes` since the first reading of its spell ·
    `is_low` below the low line of its day · `in_night` within the person's night · `set_aside_day`
    it lies on days that are set aside.
    """

    id: int
    wall: datetime
    glucose: Glucose
    level: Level
    mark: Mark
    minutes: int
    is_low: bool
    in_night: bool
    doubt: Doubt
    set_aside_day: bool


@dataclass(frozen=True, slots=True)
class ToldSpell:
    """A low and the readings that hang on it.

    `lows` of its readings are low · `back_min` minutes from the first to the reading that is not
    low, None where none was written · `next_min` minutes from the last reading to the next value of
    a spell without a recheck, None while there is none · `helped` another person's help is tied to
    one of its readings · `tested_after` there is a value within four hours of its last low.
    """

    readings: tuple[LowReading, ...]
    lows: int
    ended: SpellEnd
    back_min: int | None
    next_min: int | None
    helped: bool
    tested_after: bool

    @property
    def lowest(self) -> LowReading:
        """Its lowest reading; a result under the meter's range lies below every number."""
        return min(
            self.readings,
            key=lambda each: (each.glucose.bound is not Bound.BELOW, each.glucose.mg_dl or 0.0),
        )

    @property
    def at_night(self) -> bool:
        """Whether one of its lows lies in the night."""
        return any(each.is_low and each.in_night for each in self.readings)

    @property
    def in_doubt(self) -> bool:
        """Whether one of its lows is in doubt."""
        return any(each.is_low and each.doubt for each in self.readings)


@dataclass(frozen=True, slots=True)
class SpellSums:
    """How many spells there are, how they ended, and how many had a value within four hours."""

    n: int
    closed: int
    no_recheck: int
    open: int
    tested_after: int


@dataclass(frozen=True, slots=True)
class Marked:
    """What counts, with what the list of lows asks of each reading; arrays of shape (n,).

    `low` below the line of its day · `night` in the person's night · `aside` on days that are set
    aside.
    """

    counted: Counted
    person: Person
    low: NDArray[np.bool_]
    night: NDArray[np.bool_]
    aside: NDArray[np.bool_]


def marked(
    counted: Counted,
    person: Person,
    lines: Sequence[SafetyLine],
    *,
    night: tuple[int, int],
    set_aside: Sequence[Span],
) -> Marked:
    """Hold readings against the person's low lines, night and days that are set aside.

    Parameters
    ----------
    night : tuple of int
        From one minute of the local day up to another; it may run over midnight.
    """
    columns = counted.columns
    aside = np.zeros(counted.n, dtype=np.bool_)
    for span in set_aside:
        until = np.inf if span.last_day is None else span.last_day
        aside |= (columns.day >= span.first_day) & (columns.day <= until)
    return Marked(counted, person, below_line(counted, lines), in_hours(columns, night), aside)


def in_hours(columns: Columns, night: tuple[int, int]) -> NDArray[np.bool_]:
    """Which readings lie from one minute of the local day up to another, over midnight or not."""
    after, before = columns.minute >= night[0], columns.minute < night[1]
    return np.asarray(after & before if night[0] < night[1] else after | before)


def below_line(counted: Counted, lines: Sequence[SafetyLine]) -> NDArray[np.bool_]:
    """Which readings lie below the low line of their own day, in the unit they were entered in."""
    limit = counted.in_unit_entered(USUAL.low)
    for line in lines:
        later = counted.columns.day >= line.from_day
        limit = np.where(later, counted.in_unit_entered(line.low), limit)
    return np.asarray(counted.ordered < limit)


def told_spells(
    those: Marked,
    days: tuple[int, int],
    *,
    now: int,
    helped: Set[int],
    newest: int | None = None,
) -> tuple[tuple[ToldSpell, ...], SpellSums]:
    """The spells that have a low on some diary days, in the order of time, and their sums.

    Parameters
    ----------
    those : Marked
        What counts, from a day before on at least; what follows tells how the last spell ended.
    days : tuple of int
        First and last diary day, both included.
    now : int
        UTC seconds.
    helped : set of int
        Ids of readings that help is tied to.
    newest : int, optional
        Tell only so many of the newest ones in full; the sums are always those of all.
    """
    columns = those.counted.columns
    ends = spell_ends(columns.instant, those.low)
    here = those.low & (columns.day >= days[0]) & (columns.day <= days[1])
    tested = value_after(columns.instant, ends.last_low)
    so_far = np.concatenate([[0], np.cumsum(here)])
    places = np.flatnonzero(so_far[ends.last_low + 1] > so_far[ends.first])
    closed_ones = int(np.count_nonzero(ends.closed[places]))
    # Only the last reading of all can leave a spell open; any other has a value after it.
    still = int(
        any(
            not ends.closed[at]
            and _unclosed(columns.instant, int(ends.last_low[at]), now)[0] is SpellEnd.OPEN
            for at in places[-1:].tolist()
        )
    )
    sums = SpellSums(
        n=places.size,
        closed=closed_ones,
        no_recheck=places.size - closed_ones - still,
        open=still,
        tested_after=int(np.count_nonzero(tested[places])),
    )
    found = []
    for at in places[skipped(places.size, newest) :].tolist():
        first, last_low = int(ends.first[at]), int(ends.last_low[at])
        closed = bool(ends.closed[at])
        readings = low_readings(those, range(first, last_low + 1 + closed))
        ended, next_min = SpellEnd.CLOSED, None
        if not closed:
            ended, next_min = _unclosed(columns.instant, last_low, now)
        found.append(
            ToldSpell(
                readings=readings,
                lows=sum(each.is_low for each in readings),
                ended=ended,
                back_min=readings[-1].minutes if closed else None,
                next_min=next_min,
                helped=any(each.id in helped for each in readings),
                tested_after=bool(tested[at]),
            )
        )
    return tuple(found), sums


def skipped(count: int, newest: int | None) -> int:
    """How many of `count` stand before the `newest` ones."""
    return 0 if newest is None else max(0, count - newest)


def low_readings(those: Marked, places: Sequence[int]) -> tuple[LowReading, ...]:
    """The readings at some places, their minutes counted from the first of them."""
    columns = those.counted.columns
    found = []
    for place in places:
        glucose = glucose_at(columns, place)
        since = int(columns.instant[place] - columns.instant[places[0]])
        found.append(
            LowReading(
                id=int(columns.id[place]),
                wall=wall_at(columns, place, those.person.day_start),
                glucose=glucose,
                level=level_of(glucose),
                mark=MARKS[int(columns.mark[place])],
                minutes=since // 60,
                is_low=bool(those.low[place]),
                in_night=bool(those.night[place]),
                doubt=Doubt(int(columns.doubt[place])),
                set_aside_day=bool(those.aside[place]),
            )
        )
    return tuple(found)


def _unclosed(instants: IntArray, last_low: int, now: int) -> tuple[SpellEnd, int | None]:
    """How a spell without a recheck stands: still open, or so many minutes to the next value."""
    if last_low < instants.size - 1:
        return SpellEnd.NO_RECHECK, int(instants[last_low + 1] - instants[last_low]) // 60
    if 0 <= now - int(instants[last_low]) <= CHAIN_SECONDS:
        return SpellEnd.OPEN, None
    return SpellEnd.NO_RECHECK, None
