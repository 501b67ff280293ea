"""A year in one view: months by slot on one scale, gaps left as gaps, nothing joined."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass, replace
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import Period, diary_day
from app.domain.errors import Refused
from app.domain.glucose import Unit
from app.domain.marks import SLOTS
from app.domain.person import Person, today_of
from app.domain.targets import in_force
from app.domain.written import ChangeMark
from app.review.alongside import Other, alongside
from app.review.counted import Counted, counted_of
from app.review.marks_drawn import (
    HIGH_LEVELS,
    LOW_LEVELS,
    DrawnMarks,
    in_order,
    levels_of,
    marks_of,
)
from app.review.record import Record
from app.review.scale import GlucoseScale, glucose_scale
from app.review.year_cells import YearCell, year_cell
from app.statistics import enough
from app.statistics.days import days_with_readings
from app.store.columns import EXACT
from app.store.diary import Diary
from app.store.happenings import labs_of
from app.store.spans import changes_between

MONTHS = 12
_SHOWN = ("days", "change", "visit", "new meter")


@dataclass(frozen=True, slots=True)
class YearMonth:
    """A calendar month: its eight cells in the order of `SLOTS`, and what rests on what.

    `is_gap` where not one reading counts · `unmarked` and `elsewhere` readings are in no cell: they
    have no mark, or one that is no slot.
    """

    first: date
    last: date
    n: int
    days: int
    lows: int
    highs: int
    unmarked: int
    elsewhere: int
    cells: tuple[YearCell, ...]

    @property
    def is_gap(self) -> bool:
        """Whether there is nothing to show."""
        return self.n == 0


@dataclass(frozen=True, slots=True)
class YearMark:
    """A change, a visit, an A1C, a new meter, or days with a name.

    `start` and `end` say where it lies along the months · `change` is the mark of a change.
    """

    other: Other
    start: float
    end: float
    change: ChangeMark | None = None


@dataclass(frozen=True, slots=True)
class YearView:
    """Up to twelve months; a month spans 1 along the axis, a slot an eighth of it.

    `marks` are the readings of cells too thin for a median, and every low of the others.
    """

    person: Person
    unit: Unit
    months: tuple[YearMonth, ...]
    marks: DrawnMarks
    beside: tuple[YearMark, ...]
    scale: GlucoseScale
    left_out: dict[str, int]

    @property
    def period(self) -> Period:
        """From the first day of the first month to the last of the last one."""
        return Period(self.months[0].first, self.months[-1].last)

    @property
    def n(self) -> int:
        """All readings that count."""
        return sum(month.n for month in self.months)

    @property
    def lows(self) -> int:
        """How many of them are below 3.9 (70), whatever their mark."""
        return sum(month.lows for month in self.months)

    @property
    def highs(self) -> int:
        """How many of them are above 10.0 (180), whatever their mark."""
        return sum(month.highs for month in self.months)

    @property
    def unmarked(self) -> int:
        """How many of them have no mark and so are in no slot."""
        return sum(month.unmarked for month in self.months)

    @property
    def elsewhere(self) -> int:
        """How many of them have a mark that is no slot."""
        return sum(month.elsewhere for month in self.months)

    def marks_in(self, month: int, slot: int) -> DrawnMarks:
        """The marks of one cell; there `x` is the place of their day in the month, from 0 to 1."""
        span = self.months[month]
        inside = self.marks.x == month + (slot + 0.5) / len(SLOTS)
        found = self.marks.where(inside)
        days = (span.last - span.first).days + 1
        return in_order(replace(found, x=(found.day - span.first.toordinal() + 0.5) / days))


def year_view(
    diary: Diary, record: Record, ending: date, *, now: datetime, months: int = MONTHS
) -> YearView:
    """The months up to that of a day, from the first one with a reading on.

    Parameters
    ----------
    ending : date
        A day of the last month.
    months : int, default 12
        How many at most.

    Raises
    ------
    Refused
        Fewer than one month, or more than twelve, were asked for.
    """
    if not 1 <= months <= MONTHS:
        raise Refused(f"A year has 1 to {MONTHS} months to show; {months} were asked for.")
    person = record.person
    spans = _months(record, ending, months)
    whole = Period(spans[0].first, spans[-1].last)
    counted, left_out = counted_of(record.between(whole), person.unit, now=int(now.timestamp()))
    left_out.pop("undated", None)  # those lie in no month
    place = np.searchsorted(
        [span.first.toordinal() for span in spans], counted.columns.day, "right"
    )
    found = [_month(record, counted.where(place == at), span) for at, span in enumerate(spans, 1)]
    marks = _marks(counted, place - 1, found)
    limits = {
        end
        for cell in found[-1].cells
        for end in (cell.goal_low, cell.goal_high)
        if end is not None
    }
    today = today_of(person, now)
    return YearView(
        person=person,
        unit=person.unit,
        months=tuple(found),
        marks=marks,
        beside=_all_beside(diary, person, spans, today),
        scale=glucose_scale(_ends(found, marks), sorted(limits), person.unit),
        left_out=left_out,
    )


def _months(record: Record, ending: date, months: int) -> list[Period]:
    days = record.columns.day
    last = ending.year * 12 + ending.month - 1
    first = last - months + 1
    if days.size:
        earliest = date.fromordinal(int(days.min()))
        first = max(first, min(last, earliest.year * 12 + earliest.month - 1))
    else:
        first = last
    return [_calendar_month(max(at, 12)) for at in range(first, last + 1)]


def _calendar_month(number: int) -> Period:
    year, month = number // 12, number % 12 + 1
    return Period(date(year, month, 1), date(year, month, monthrange(year, month)[1]))


def _month(record: Record, counted: Counted, span: Period) -> YearMonth:
    goals = in_force(record.targets, span.last.toordinal())
    mark = counted.columns.mark
    cells = tuple(
        year_cell(counted.where(mark == code), slot, goals) for code, slot in enumerate(SLOTS)
    )
    level = levels_of(counted)
    inside = sum(cell.n for cell in cells)
    return YearMonth(
        first=span.first,
        last=span.last,
        n=counted.n,
        days=days_with_readings(counted.columns.day),
        lows=int(np.count_nonzero(level < LOW_LEVELS)),
        highs=int(np.count_nonzero(level >= HIGH_LEVELS)),
        unmarked=counted.unmarked,
        elsewhere=counted.n - counted.unmarked - inside,
        cells=cells,
    )


def _marks(counted: Counted, month: NDArray[np.intp], found: list[YearMonth]) -> DrawnMarks:
    """Where a cell has no median its readings, else its lows, each in the middle of its slot."""
    mark, level = counted.columns.mark.astype(np.int64), levels_of(counted)
    in_slot = mark < len(SLOTS)
    n = np.array([[cell.n for cell in each.cells] for each in found])
    thin = np.zeros(counted.n, dtype=np.bool_)
    thin[in_slot] = n[month[in_slot], mark[in_slot]] < enough.SLOT_BOX.needed
    shown = in_slot & (thin | (level < LOW_LEVELS))
    part = counted.where(shown)
    x = month[shown] + (mark[shown] + 0.5) / len(SLOTS)
    return in_order(marks_of(part, x.astype(np.float64), level[shown]))


def _ends(found: list[YearMonth], marks: DrawnMarks) -> list[float]:
    """What the scale has to show: every box and every mark."""
    boxes = [end for month in found for cell in month.cells if cell.box for end in cell.box]
    numbers = marks.value[marks.bound == EXACT]
    return boxes + ([float(numbers.min()), float(numbers.max())] if numbers.size else [])


def _all_beside(
    diary: Diary, person: Person, spans: list[Period], today: date
) -> tuple[YearMark, ...]:
    """What is written beside the readings of these months, up to today, by its first day."""
    first, last = spans[0].first, min(spans[-1].last, today)
    if first > last:
        return ()
    days = first.toordinal(), last.toordinal()
    found = [
        _beside(other, spans)
        for other in alongside(diary, person, Period(first, last))
        if other.kind in _SHOWN and other.kind != "change"
    ]
    for change in changes_between(diary, person, *days):
        day = date.fromordinal(change.day)
        found.append(_beside(Other("change", day, day, f"change ({change.what})"), spans, change))
    for lab in labs_of(diary, person):
        day_number = diary_day(lab.at, person.day_start)
        if lab.kind == "a1c" and days[0] <= day_number <= days[1]:
            day = date.fromordinal(day_number)
            found.append(_beside(Other("lab", day, day, f"A1C {lab.value} {lab.unit}"), spans))
    return tuple(sorted(found, key=lambda mark: (mark.other.first, mark.other.kind)))


def _beside(other: Other, spans: list[Period], change: ChangeMark | None = None) -> YearMark:
    return YearMark(other, _along(other.first, spans), _along(other.last, spans, end=True), change)


def _along(day: date, spans: list[Period], *, end: bool = False) -> float:
    """Where a day begins, or ends, along the months; one outside them at their edge."""
    for at, span in enumerate(spans):
        if day <= span.last:
            return at + max(0, (day - span.first).days + end) / span.days
    return float(len(spans))
