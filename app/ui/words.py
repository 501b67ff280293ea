"""Numbers, days, times and periods as the person reads them: the system's digits, own order."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from functools import lru_cache

from PySide6.QtCore import QCoreApplication, QDate, QLocale, QTime

from app.domain.clock import Period
from app.domain.glucose import Bound, Glucose, Unit
from app.domain.person import Person
from app.review.figure import Figure, Missing
from app.review.words import figure_words

_DOT = " · "
_IN_FULL = {"mdy": "dddd, MMMM d, yyyy", "ymd": "dddd, yyyy MMMM d"}
_OF_FIELDS = {"mdy": "MMM d, yyyy", "ymd": "yyyy-MM-dd"}


def _tr(text: str) -> str:
    return QCoreApplication.translate("Words", text)


def joined(parts: Iterable[str]) -> str:
    """What there is to say in one line, set apart by dots; empty parts are left out."""
    return _DOT.join(part for part in parts if part)


def number_words(plain: str) -> str:
    """A number in plain digits, written with the digits and the decimal mark of the system."""
    locale = QLocale()
    return plain.translate(_signs(locale.zeroDigit(), locale.decimalPoint()))


def count_words(count: int) -> str:
    """A whole number in the digits of the system, without marks between its thousands."""
    return number_words(str(count))


def figure_text(figure: Figure, unit: Unit, *, missing: str = "") -> str:
    """A glucose figure, rounded once: "7.2", "<1.1", "HI"; `missing` where there is none."""
    return missing if isinstance(figure, Missing) else number_words(figure_words(figure, unit))


def value_words(glucose: Glucose, unit: Unit | None = None) -> str:
    """A result as typed, or rounded in `unit`: "7.2 mmol/L"; "LO" and "HI" speak for themselves."""
    if glucose.value is None:
        return number_words(glucose.shown(glucose.unit))
    if unit is not None and unit is not glucose.unit:
        return f"{number_words(glucose.shown(unit))} {unit}"
    sign = {Bound.BELOW: "<", Bound.ABOVE: ">"}.get(glucose.bound, "")
    return f"{sign}{number_words(glucose.value)} {glucose.unit}"


def minute_words(minute: float, clock: int) -> str:
    """A minute of the day by a clock of 12 or 24 hours, in the digits of the language.

    >>> minute_words(4 * 60 + 1440, 24), minute_words(13 * 60 + 5, 24)
    ('04:00', '13:05')
    """
    hour, rest = divmod(int(minute) % 1440, 60)
    return QLocale().toString(QTime(hour, rest), "HH:mm" if clock == 24 else "h:mm AP")


def clock_words(wall: datetime, person: Person) -> str:
    """A time of day by the person's clock."""
    return minute_words(wall.hour * 60 + wall.minute, person.clock)


def date_words(day: date, today: date, person: Person) -> str:
    """A date in the person's order: "Thu 7 May", "Thu May 7"; with the year if it is another."""
    locale = QLocale()
    name = locale.dayName(day.isoweekday(), QLocale.FormatType.ShortFormat)
    month = locale.monthName(day.month, QLocale.FormatType.ShortFormat)
    number = count_words(day.day)
    year = "" if day.year == today.year else count_words(day.year)
    order = {"mdy": (name, month, number, year), "ymd": (name, year, month, number)}
    parts = order.get(person.date_order, (name, number, month, year))
    return " ".join(part for part in parts if part)


def full_date_words(day: date, person: Person) -> str:
    """A day in full, in the person's order: "Thursday 7 May 2026"."""
    pattern = _IN_FULL.get(person.date_order, "dddd d MMMM yyyy")
    return QLocale().toString(QDate(day.year, day.month, day.day), pattern)


def day_words(day: date, date_order: str, *, year: bool = True, short: bool = False) -> str:
    """A day without its weekday, in an order of dates: "7 May 2026"; short: "7 May"."""
    size = QLocale.FormatType.ShortFormat if short else QLocale.FormatType.LongFormat
    month, number = QLocale().monthName(day.month, size), count_words(day.day)
    parts = {
        "mdy": [month, f"{number}," if year else number],
        "ymd": [month, number],
    }.get(date_order, [number, month])
    if year:
        parts.insert(0 if date_order == "ymd" else len(parts), count_words(day.year))
    return " ".join(parts)


def period_words(period: Period, date_order: str, *, short: bool = False) -> str:
    """A period in an order of dates: "4 – 17 January 2026"; short: "4 – 17 Jan", never a year."""
    first, last, year = period.first, period.last, not short
    if first == last:
        return day_words(last, date_order, year=year, short=short)
    if (first.year, first.month) == (last.year, last.month):
        if date_order == "dmy":
            end = day_words(last, date_order, year=year, short=short)
            return f"{count_words(first.day)} – {end}"
        if date_order == "mdy":
            begin = day_words(first, date_order, year=False, short=short)
            end = f"{count_words(last.day)}, {count_words(last.year)}" if year else ""
            return f"{begin} – {end or count_words(last.day)}"
    other_year = first.year != last.year
    leads = date_order == "ymd"  # the year stands first, so it is the second that goes
    begin = day_words(first, date_order, year=year and (leads or other_year), short=short)
    end = day_words(last, date_order, year=year and (not leads or other_year), short=short)
    return f"{begin} – {end}"


def date_format(date_order: str) -> str:
    """Qt's format of a field with a date in an order of dates."""
    return _OF_FIELDS.get(date_order, "d MMM yyyy")


def near_day_words(day: date, today: date) -> str:
    """Today, yesterday, tomorrow; empty for another day."""
    near = {0: _tr("today"), -1: _tr("yesterday"), 1: _tr("tomorrow")}
    return near.get((day - today).days, "")


def moment_words(wall: datetime, today: date, person: Person) -> str:
    """A moment in full: "today, Thu 7 May, 12:18"."""
    near = near_day_words(wall.date(), today)
    said = [near, date_words(wall.date(), today, person), clock_words(wall, person)]
    return ", ".join(part for part in said if part)


def short_moment_words(wall: datetime, today: date, person: Person) -> str:
    """A moment in short: "today 12:18", "Sun 3 May 22:10"."""
    near = near_day_words(wall.date(), today)
    return f"{near or date_words(wall.date(), today, person)} {clock_words(wall, person)}"


@lru_cache(maxsize=8)
def _signs(zero: str, point: str) -> dict[int, str]:
    digits = {ord("0") + number: chr(ord(zero) + number) for number in range(10)}
    return digits | {ord("."): point}
