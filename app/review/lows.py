"""Lows first: how many and how low, told as spells; what followed them; very highs with ketones."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.ketones import Ketones
from app.domain.levels import HIGH_ABOVE, LOW_BELOW, VERY_HIGH_ABOVE, VERY_LOW_BELOW
from app.domain.marks import MARKS, SLOTS, Mark
from app.domain.person import Person
from app.domain.reading import STANDINGS, Standing
from app.domain.safety import SafetyLine, line_on
from app.domain.written import Help, KetoneTest
from app.review.counted import Counted, counted_of
from app.review.day_spells import SpellEnd
from app.review.low_spells import (
    LowReading,
    Marked,
    SpellSums,
    ToldSpell,
    below_line,
    in_hours,
    low_readings,
    marked,
    skipped,
    told_spells,
)
from app.review.nights import NIGHT_ENDS
from app.review.record import Record
from app.statistics.around_lows import highs_after_lows, nearest_beside
from app.statistics.spells import low_spells
from app.store.columns import Columns
from app.store.diary import Diary
from app.store.happenings import helps_between, ketones_between
from app.store.safety import night_hours, safety_lines
from app.store.spans import spans_between

# A rule of this diary, unless the person has hours of their own: from 00:00 to before 05:00.
USUAL_NIGHT = (0, NIGHT_ENDS)

_COUNTED = STANDINGS.index(Standing.COUNTED)
_SET_ASIDE = STANDINGS.index(Standing.SET_ASIDE)
_NOT_MINE = STANDINGS.index(Standing.NOT_MINE)


@dataclass(frozen=True, slots=True)
class Counts:
    """Of `n` readings: `lows` below the person's line, `level_1` and `level_2` by the numbers."""

    n: int
    lows: int
    level_1: int
    level_2: int


@dataclass(frozen=True, slots=True)
class LowsOfMark:
    """The tests of one mark, and how many of them were low."""

    mark: Mark
    n: int
    lows: int


@dataclass(frozen=True, slots=True)
class HelpNeeded:
    """Level 3: when help was needed, with the reading that it is tied to, where there is one."""

    help: Help
    reading: LowReading | None


@dataclass(frozen=True, slots=True)
class HighAfter:
    """A high within four hours of a low: both readings, and the minutes between them."""

    low: LowReading
    high: LowReading
    minutes: int


@dataclass(frozen=True, slots=True)
class VeryHigh:
    """A very high reading with the ketone test nearest to it, `minutes` after it (or before)."""

    reading: LowReading
    ketones: Ketones | None
    minutes: int | None


@dataclass(frozen=True, slots=True)
class Lows:
    """What the lows of a period are; every reading of it that counts is in, doubtful ones too.

    `lines` are the low lines in force in it · `spells` have a low in it · `set_aside` lows that
    were set aside, in no count · `nights` of the period, `nights_tested` those with a reading.
    `spells`, `highs_after` and `very_highs` may be the newest ones alone; their sums are of all.
    """

    person: Person
    unit: Unit
    period: Period
    lines: tuple[SafetyLine, ...]
    counts: Counts
    without_rechecks: Counts
    helps: tuple[HelpNeeded, ...]
    spells: tuple[ToldSpell, ...]
    sums: SpellSums
    set_aside: tuple[LowReading, ...]
    in_doubt: int
    night: tuple[int, int]
    nights: int
    nights_tested: int
    night_lows: int
    by_mark: tuple[LowsOfMark, ...]
    highs_after: tuple[HighAfter, ...]
    highs_after_count: int
    very_highs: tuple[VeryHigh, ...]
    very_highs_count: int
    left_out: dict[str, int]

    def ended(self, how: SpellEnd) -> int:
        """How many spells ended so."""
        sums = self.sums
        return {
            SpellEnd.CLOSED: sums.closed,
            SpellEnd.NO_RECHECK: sums.no_recheck,
            SpellEnd.OPEN: sums.open,
        }[how]


def lows_of(
    diary: Diary, record: Record, period: Period, *, now: datetime, newest: int | None = None
) -> Lows:
    """Everything about the lows of a period of whole diary days, both ends included.

    Parameters
    ----------
    diary : Diary
        Asked for help, ketones, days that are set aside, the low lines and the night.
    record : Record
        The person's readings.
    now : datetime
        The aware time.
    newest : int, optional
        Tell only so many of the newest spells, highs after lows and very highs, of fifty years;
        all of them are counted.
    """
    person, at = record.person, int(now.timestamp())
    first, last = period.first.toordinal(), period.last.toordinal()
    lines = safety_lines(diary, person)
    night = night_hours(diary, person) or USUAL_NIGHT
    aside = [each for each in spans_between(diary, person, first - 1, last + 1) if each.set_aside]

    def held(counted: Counted) -> Marked:
        return marked(counted, person, lines, night=night, set_aside=aside)

    inside = record.between(period)
    here, left_out = counted_of(inside, person.unit, now=at)
    # A spell may come over the start, and the value after the last low may lie far away.
    around, _ = counted_of(record.columns.from_about(first - 1), person.unit, now=at)
    those = held(around)
    helps = helps_between(diary, person, first, last)
    tied = frozenset(each.reading_id for each in helps if each.reading_id is not None)
    spells, sums = told_spells(those, (first, last), now=at, helped=tied, newest=newest)
    highs, highs_count = _highs_after(those, (first, last), newest)
    tests = ketones_between(diary, person, first - 1, last + 1)
    very_highs, very_highs_count = _very_highs(held(here), tests, newest)
    low = below_line(here, lines)
    rechecks = low_spells(here.columns.instant, low).recheck
    return Lows(
        person=person,
        unit=person.unit,
        period=period,
        lines=_in_force(lines, first, last),
        counts=_counts(here, low, np.ones_like(low)),
        without_rechecks=_counts(here, low, ~rechecks),
        helps=tuple(HelpNeeded(each, _reading_of(each, held, record, at)) for each in helps),
        spells=spells,
        sums=sums,
        set_aside=_set_aside(held, record, inside, at),
        in_doubt=int(np.count_nonzero(low & (here.columns.doubt != 0))),
        night=night,
        nights=period.days,
        nights_tested=_nights_tested(here, night, person),
        night_lows=int(np.count_nonzero(low & in_hours(here.columns, night))),
        by_mark=_by_mark(here, low),
        highs_after=highs,
        highs_after_count=highs_count,
        very_highs=very_highs,
        very_highs_count=very_highs_count,
        left_out=left_out,
    )


def _in_force(lines: Sequence[SafetyLine], first: int, last: int) -> tuple[SafetyLine, ...]:
    later = [line for line in lines if first < line.from_day <= last]
    return (line_on(lines, first), *later)


def _counts(counted: Counted, low: NDArray[np.bool_], kept: NDArray[np.bool_]) -> Counts:
    """Of the `kept` readings, without copying them."""
    under = (counted.ordered < counted.in_unit_entered(LOW_BELOW)) & kept
    far_under = counted.ordered < counted.in_unit_entered(VERY_LOW_BELOW)
    return Counts(
        n=int(np.count_nonzero(kept)),
        lows=int(np.count_nonzero(low & kept)),
        level_1=int(np.count_nonzero(under & ~far_under)),
        level_2=int(np.count_nonzero(under & far_under)),
    )


def _reading_of(
    each: Help, held: Callable[[Counted], Marked], record: Record, now: int
) -> LowReading | None:
    """The reading that help is tied to, as it stands among those that count or were set aside."""
    if each.reading_id is None:
        return None
    found = _as_counted(record.columns.where(record.columns.id == each.reading_id))
    counted, _ = counted_of(found, record.person.unit, now=now)
    readings = low_readings(held(counted), range(counted.n))
    return readings[0] if readings else None


def _set_aside(
    held: Callable[[Counted], Marked], record: Record, columns: Columns, now: int
) -> tuple[LowReading, ...]:
    aside = _as_counted(columns.where(columns.standing == _SET_ASIDE))
    those = held(counted_of(aside, record.person.unit, now=now)[0])
    return tuple(low_readings(those, [place])[0] for place in np.flatnonzero(those.low).tolist())


def _as_counted(columns: Columns) -> Columns:
    """The same readings, those set aside among them as if they counted."""
    mine = columns.where(columns.standing != _NOT_MINE)
    return replace(mine, standing=np.full_like(mine.standing, _COUNTED))


def _nights_tested(counted: Counted, night: tuple[int, int], person: Person) -> int:
    """How many nights have a reading; one over midnight belongs to the date it begins on."""
    chosen = counted.where(in_hours(counted.columns, night)).columns
    dates = chosen.day + (chosen.minute < person.day_start * 60)
    if night[0] > night[1]:
        dates = dates - (chosen.minute < night[1])
    return int(np.unique(dates).size)


def _by_mark(counted: Counted, low: NDArray[np.bool_]) -> tuple[LowsOfMark, ...]:
    """Every slot, tested or not, and the other marks that occur."""
    found = []
    for code, mark in enumerate(MARKS):
        of_mark = counted.columns.mark == code
        n, lows = int(np.count_nonzero(of_mark)), int(np.count_nonzero(of_mark & low))
        if n or mark in SLOTS:
            found.append(LowsOfMark(mark, n, lows))
    return tuple(found)


def _highs_after(
    those: Marked, days: tuple[int, int], newest: int | None
) -> tuple[tuple[HighAfter, ...], int]:
    counted = those.counted
    high = counted.ordered > counted.in_unit_entered(HIGH_ABOVE)
    found = highs_after_lows(counted.columns.instant, those.low, high)
    day = counted.columns.day[found.low]
    told = []
    places = np.flatnonzero((day >= days[0]) & (day <= days[1]))
    for at in places[skipped(places.size, newest) :].tolist():
        low, up = low_readings(those, [int(found.low[at]), int(found.high[at])])
        told.append(HighAfter(low, up, int(found.seconds[at]) // 60))
    return tuple(told), places.size


def _very_highs(
    those: Marked, tests: Sequence[KetoneTest], newest: int | None
) -> tuple[tuple[VeryHigh, ...], int]:
    counted = those.counted
    all_places = np.flatnonzero(counted.ordered > counted.in_unit_entered(VERY_HIGH_ABOVE))
    places = all_places[skipped(all_places.size, newest) :]
    instants = counted.columns.instant[places]
    when = np.array([each.at.instant for each in tests], dtype=np.int64)
    found = []
    for place, near in zip(places.tolist(), nearest_beside(instants, when).tolist(), strict=True):
        (reading,) = low_readings(those, [place])
        if near < 0:
            found.append(VeryHigh(reading, None, None))
            continue
        test = tests[near]
        result = Ketones(test.method, test.bound, test.value, test.level)
        apart = test.at.instant - int(counted.columns.instant[place])
        found.append(VeryHigh(reading, result, round(apart / 60)))
    return tuple(found), all_places.size
