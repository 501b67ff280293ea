"""The second sheet on demand: every reading by day and slot, then the lows with their notes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

import numpy as np

from app.domain.clock import FUTURE_SECONDS, Period
from app.domain.glucose import Glucose, Unit
from app.domain.levels import Level, level_of
from app.domain.marks import MARKS, SLOTS, Mark
from app.domain.person import Person
from app.domain.reading import STANDINGS, Standing
from app.review.low_spells import LowReading, ToldSpell
from app.review.lows import Counts, HelpNeeded, lows_of
from app.review.one_reading import glucose_at, wall_at
from app.review.record import Record
from app.store.alongside import open_notes
from app.store.columns import NO_VALUE
from app.store.diary import Diary

_NOT_MINE = STANDINGS.index(Standing.NOT_MINE)
_SET_ASIDE = STANDINGS.index(Standing.SET_ASIDE)


@dataclass(frozen=True, slots=True)
class Entry:
    """One reading in its cell; `set_aside` ones are in no figure and stand there all the same."""

    id: int
    wall: datetime
    glucose: Glucose
    level: Level
    mark: Mark
    doubt: bool
    set_aside: bool


@dataclass(frozen=True, slots=True)
class DayRow:
    """A diary day with readings: those of each slot in the order of SLOTS, and all others.

    Without readings it is a stretch of days up to `last`; both are empty then.
    """

    first: date
    last: date
    slots: tuple[tuple[Entry, ...], ...] = ()
    others: tuple[Entry, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether nothing was written on these days."""
        return not self.slots


@dataclass(frozen=True, slots=True)
class SecondSheet:
    """Readings by day and the lows of a period, the oldest first.

    `n` readings count, `set_aside` besides · `not_mine` are left out · `notes` by a reading's local
    id, private ones never · `lows_aside` lows that were set aside, in no count.
    """

    person: Person
    unit: Unit
    second: Unit
    period: Period
    made: datetime
    n: int
    set_aside: int
    not_mine: int
    rows: tuple[DayRow, ...]
    counts: Counts
    spells: tuple[ToldSpell, ...]
    lows_aside: tuple[LowReading, ...]
    helps: tuple[HelpNeeded, ...]
    notes: dict[int, str]


def second_sheet(diary: Diary, record: Record, period: Period, *, now: datetime) -> SecondSheet:
    """Lay out the readings of a period of whole diary days, both ends included.

    Parameters
    ----------
    now : datetime
        Aware; what lies more than ten minutes after it is left out.
    """
    person = record.person
    lows = lows_of(diary, record, period, now=now)
    found, not_mine = _entries(record, period, now)
    today = date.fromordinal(max(period.first.toordinal(), now.toordinal()))
    last = min(period.last, max([today, *(day for day in found)]))
    return SecondSheet(
        person=person,
        unit=person.unit,
        second=Unit.MMOL_L if person.unit is Unit.MG_DL else Unit.MG_DL,
        period=period,
        made=now,
        n=sum(not each.set_aside for day in found.values() for each in day),
        set_aside=sum(each.set_aside for day in found.values() for each in day),
        not_mine=not_mine,
        rows=_rows(found, Period(period.first, last)),
        counts=lows.counts,
        spells=lows.spells,
        lows_aside=lows.set_aside,
        helps=lows.helps,
        notes=open_notes(diary, person, period.first.toordinal(), period.last.toordinal()),
    )


def _entries(record: Record, period: Period, now: datetime) -> tuple[dict[date, list[Entry]], int]:
    """The readings of each day in the order of time, and how many are somebody else's."""
    columns = record.between(period)
    mine = columns.standing != _NOT_MINE
    until = int(now.timestamp()) + FUTURE_SECONDS
    shown = columns.where(mine & (columns.bound != NO_VALUE) & (columns.instant <= until))
    days: dict[date, list[Entry]] = {}
    start = record.person.day_start
    for at in range(len(shown)):
        glucose = glucose_at(shown, at)
        days.setdefault(date.fromordinal(int(shown.day[at])), []).append(
            Entry(
                id=int(shown.id[at]),
                wall=wall_at(shown, at, start),
                glucose=glucose,
                level=level_of(glucose),
                mark=MARKS[int(shown.mark[at])],
                doubt=bool(shown.doubt[at]),
                set_aside=int(shown.standing[at]) == _SET_ASIDE,
            )
        )
    return days, int(np.count_nonzero(~mine))


def _rows(found: dict[date, list[Entry]], period: Period) -> tuple[DayRow, ...]:
    """A row for each day with readings, and one for each stretch of days without any."""
    rows: list[DayRow] = []
    free = period.first.toordinal()
    for day in sorted(found):
        if free < day.toordinal():
            rows.append(_stretch(free, day.toordinal() - 1))
        rows.append(_day(day, found[day]))
        free = day.toordinal() + 1
    if free <= period.last.toordinal():
        rows.append(_stretch(free, period.last.toordinal()))
    return tuple(rows)


def _stretch(first: int, last: int) -> DayRow:
    return DayRow(date.fromordinal(first), date.fromordinal(last))


def _day(day: date, entries: list[Entry]) -> DayRow:
    slots = tuple(tuple(each for each in entries if each.mark is mark) for mark in SLOTS)
    return DayRow(day, day, slots, tuple(each for each in entries if each.mark not in SLOTS))
