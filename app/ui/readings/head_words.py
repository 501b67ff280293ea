"""The line under the title: which days, how many readings, and what is out of the ordinary."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QLocale

from app.domain.clock import Period
from app.domain.person import Person
from app.review.table import TableCounts
from app.store.columns import Columns
from app.ui.now.words import number_words
from app.ui.readings.line import tr
from app.ui.readings.model import Column

_DOT = " · "


def head_words(counts: TableCounts, period: Period, person: Person, undated: int) -> str:
    """What the table shows: "4 – 17 January 2026 · n 69 readings on 14 days · 2 not mine"."""
    said = [period_words(period, person), _how_many(counts)]
    for count, words in (
        (counts.doubtful, tr("{n} in doubt")),
        (counts.set_aside, tr("{n} set aside")),
        (counts.not_mine, tr("{n} not mine")),
        (counts.unmarked, tr("{n} without a mark")),
        (undated, tr("{n} without a time, not listed")),
    ):
        if count:
            said.append(words.format(n=_number(count)))
    return _DOT.join(said)


def quiet_words(n: int, sorted_by: tuple[Column, bool], *, filtered: bool) -> str:
    """What stands over the table while no row is selected."""
    shown = tr("1 reading found") if n == 1 else tr("{n} readings found").format(n=_number(n))
    column, falls = sorted_by
    if column is Column.DAY:
        order = tr("the newest first") if falls else tr("the oldest first")
    else:
        order = tr("in the order of one column; F3 turns it round")
    return _DOT.join([*([shown] if filtered else []), order, tr("Enter corrects a reading")])


def period_words(period: Period, person: Person) -> str:
    """A period in the person's order of dates: "4 – 17 January 2026"."""
    first, last = period.first, period.last
    if first == last:
        return _day(last, person, year=True)
    is_same_month = (first.year, first.month) == (last.year, last.month)
    if is_same_month and person.date_order == "dmy":
        return f"{_number(first.day)} – {_day(last, person, year=True)}"
    if is_same_month and person.date_order == "mdy":
        month, year = _month(last), _number(last.year)
        return f"{month} {_number(first.day)} – {_number(last.day)}, {year}"
    same_year = first.year == last.year
    leads = person.date_order == "ymd"  # the year stands first, so it is the second that goes
    begins = _day(first, person, year=leads or not same_year)
    return f"{begins} – {_day(last, person, year=not leads or not same_year)}"


def all_days(columns: Columns, today: date) -> Period:
    """From the day of the first reading to today, or to the last reading if that lies later."""
    if not len(columns):
        return Period(today, today)
    first, last = date.fromordinal(int(columns.day[0])), date.fromordinal(int(columns.day[-1]))
    return Period(min(first, today), max(last, today))


def _how_many(counts: TableCounts) -> str:
    if not counts.n:
        return tr("no readings (n 0)")
    if counts.n == 1:
        return tr("n 1 reading")
    words = tr("n {n} readings on 1 day") if counts.days == 1 else tr("n {n} readings on {d} days")
    return words.format(n=_number(counts.n), d=_number(counts.days))


def _day(day: date, person: Person, *, year: bool) -> str:
    number = _number(day.day)
    parts = {
        "mdy": [_month(day), f"{number}," if year else number],
        "ymd": [_month(day), number],
    }.get(person.date_order, [number, _month(day)])
    if year:
        at = 0 if person.date_order == "ymd" else len(parts)
        parts.insert(at, _number(day.year))
    return " ".join(parts)


def _month(day: date) -> str:
    return QLocale().monthName(day.month)


def _number(number: int) -> str:
    return number_words(str(number))
