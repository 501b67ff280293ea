"""The test map: how often each slot was tested on each day of the week, and what nobody would see.

A blind spot is a slot tested never or seldom. No published line for "seldom" was found, so it is a
rule of this diary: fewer than three tests, or fewer than one a week.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from app.domain.clock import Period
from app.domain.marks import MARKS, SLOTS, Mark
from app.domain.person import Person
from app.review.counted import counted_of
from app.review.record import Record
from app.statistics.days import days_with_readings
from app.statistics.weekdays import WEEK, counts_by_weekday, weekdays_of

DEFAULT_DAYS = 90
SELDOM_UNDER = 3
# With fewer Mondays, or fewer tests to a weekday, none on a Monday may be chance: rules of this
# diary.
WEEKS_FOR_A_WEEKDAY, TESTS_A_WEEKDAY = 4, 2
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@dataclass(frozen=True, slots=True)
class MapRow:
    """A slot: its tests from Monday to Sunday, and whether it is a blind spot.

    `never_on` are the days of the week (Monday 0) on which a slot that is tested often never was.
    """

    slot: Mark
    counts: tuple[int, ...]
    is_blind: bool
    never_on: tuple[int, ...]

    @property
    def n(self) -> int:
        """All tests of the slot."""
        return sum(self.counts)


@dataclass(frozen=True, slots=True)
class MapOfTests:
    """Every slot by day of the week, of the readings that count.

    `weekdays` says how many Mondays to Sundays the period has · `others` are readings with a mark
    that is no slot · `blind_spots` the same in sentences, those never tested first.
    """

    person: Person
    period: Period
    n: int
    days_with_readings: int
    rows: tuple[MapRow, ...]
    weekdays: tuple[int, ...]
    unmarked: int
    others: tuple[tuple[Mark, int], ...]
    left_out: dict[str, int]
    blind_spots: tuple[str, ...]

    def row(self, slot: Mark) -> MapRow:
        """The row of a slot."""
        return self.rows[SLOTS.index(slot)]


def map_of_tests(record: Record, period: Period, *, now: datetime) -> MapOfTests:
    """Count the tests of a period of whole diary days by written mark and day of the week.

    The day of the week is that of the diary day: with a day that starts at 4 a test at two in the
    night belongs to the evening before.
    """
    counted, left_out = counted_of(
        record.between(period), record.person.unit, now=int(now.timestamp())
    )
    columns = counted.columns
    table = counts_by_weekday(columns.mark, columns.day, size=len(MARKS))
    first = period.first.toordinal()
    calendar = weekdays_of(np.arange(first, first + period.days))
    weekdays = tuple(int(each) for each in np.bincount(calendar, minlength=WEEK))
    rows = tuple(
        _row(slot, tuple(int(each) for each in table[code]), weekdays, period.days)
        for code, slot in enumerate(SLOTS)
    )
    others = tuple(
        (mark, int(table[code].sum()))
        for code, mark in enumerate(MARKS)
        if mark not in SLOTS and mark is not Mark.NONE and table[code].any()
    )
    return MapOfTests(
        person=record.person,
        period=period,
        n=counted.n,
        days_with_readings=days_with_readings(columns.day),
        rows=rows,
        weekdays=weekdays,
        unmarked=counted.unmarked,
        others=others,
        left_out=left_out,
        blind_spots=_sentences(rows, period.days),
    )


def _row(slot: Mark, counts: tuple[int, ...], weekdays: tuple[int, ...], days: int) -> MapRow:
    is_blind = sum(counts) < max(SELDOM_UNDER, days / WEEK)
    often = min(weekdays) >= WEEKS_FOR_A_WEEKDAY and sum(counts) >= TESTS_A_WEEKDAY * WEEK
    never = tuple(day for day, count in enumerate(counts) if not count)
    return MapRow(slot, counts, is_blind, never if often else ())


def _sentences(rows: tuple[MapRow, ...], days: int) -> tuple[str, ...]:
    said = []
    never = [row.slot.words for row in rows if not row.n]
    if len(never) == len(SLOTS):
        return ("no reading has the mark of a slot: the map is empty",)
    if never:
        said.append(f"never tested: {', '.join(never)}; nothing there would be seen")
    for row in rows:
        if row.is_blind and row.n:
            said.append(f"{_often(row, days)}; {_unseen(row)} there would not be seen")
    for row in rows:
        if row.never_on and not row.is_blind:
            on = ", ".join(WEEKDAYS[each] for each in row.never_on)
            often = f"{_often(row, days)}, never on {on}"
            said.append(f"{often}; {_unseen(row)} on those days would not be seen")
    return tuple(said)


def _often(row: MapRow, days: int) -> str:
    return f"{row.slot.words}: {row.n} in {days} days"


def _unseen(row: MapRow) -> str:
    return "lows" if row.slot is Mark.NIGHT else "lows and highs"
