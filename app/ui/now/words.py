"""Numbers, days and times as the person reads them: the system's digits, the person's own order."""

from __future__ import annotations

from datetime import date, datetime

from PySide6.QtCore import QCoreApplication, QLocale, QTime

from app.domain.glucose import Bound, Glucose, Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.ui.now.wrapping import unbroken
from app.work.enter import Entered

ZERO = "\u200b"  # a blank of no width: a line may end there
_END = 11  # letters kept at each end of a long name


def tr(text: str) -> str:
    """Translate a text of the Now column."""
    return QCoreApplication.translate("Now", text)


def number_words(plain: str) -> str:
    """A number in plain digits, written with the digits and the decimal mark of the system."""
    locale = QLocale()
    digits = {str(number): locale.toString(number) for number in range(10)}
    return "".join(
        locale.decimalPoint() if char == "." else digits.get(char, char) for char in plain
    )


def value_words(glucose: Glucose, unit: Unit | None = None) -> str:
    """A result as typed, or rounded in `unit`: "7.2 mmol/L"; "LO" and "HI" speak for themselves."""
    if glucose.value is None:
        return number_words(glucose.shown(glucose.unit))
    if unit is not None and unit is not glucose.unit:
        return f"{number_words(glucose.shown(unit))} {unit}"
    sign = {Bound.BELOW: "<", Bound.ABOVE: ">"}.get(glucose.bound, "")
    return f"{sign}{number_words(glucose.value)} {glucose.unit}"


def clock_words(wall: datetime, person: Person) -> str:
    """A time of day by a clock of 12 or 24 hours, as the person chose."""
    shown = "HH:mm" if person.clock == 24 else "h:mm AP"
    return QLocale().toString(QTime(wall.hour, wall.minute), shown)


def date_words(day: date, today: date, person: Person) -> str:
    """A date in the person's order: "Thu 7 May", "Thu May 7"; with the year if it is another."""
    locale = QLocale()
    name = locale.dayName(day.isoweekday(), QLocale.FormatType.ShortFormat)
    month = locale.monthName(day.month, QLocale.FormatType.ShortFormat)
    number = number_words(str(day.day))
    year = "" if day.year == today.year else number_words(str(day.year))
    order = {"mdy": (name, month, number, year), "ymd": (name, year, month, number)}
    parts = order.get(person.date_order, (name, number, month, year))
    return " ".join(part for part in parts if part)


def near_day_words(day: date, today: date) -> str:
    """Today, yesterday, tomorrow; empty for another day."""
    near = {0: tr("today"), -1: tr("yesterday"), 1: tr("tomorrow")}
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


def saved_words(entered: Entered, person: Person, now: datetime, *, several: bool) -> str:
    """What was saved, and when it was; whose it is where there are several people."""
    moment = entered.entry.moment
    if moment is None:
        raise RuntimeError("what was saved has a time")
    wall, today = moment.local, now.date()
    when = (
        clock_words(wall, person)
        if wall.date() == today
        else short_moment_words(wall, today, person)
    )
    value = value_words(entered.glucose)
    if not several:
        return unbroken(tr("{value} saved, {time}").format(value=value, time=when))
    said = tr("{value} saved for {name}, {time}").format(
        value=value, name=short_name(person.name), time=when
    )
    return unbroken(said)


def short_name(name: str) -> str:
    """A long name by its two ends, where names that are nearly the same differ; it may be broken.

    >>> short_name("Tilde"), short_name("Tilde Marjolein Wilhelmina de Brito").replace(ZERO, "")
    ('Tilde', 'Tilde Marjo…na de Brito')
    """
    if len(name) <= 2 * _END:
        return name
    return f"{name[:_END]}…{ZERO}{name[-_END:]}"


def mark_words(mark: Mark, after_min: int | None = None) -> str:
    """A mark with the minutes after the meal began, where they were said."""
    if mark is Mark.NONE:
        return tr("none yet")
    if after_min is None:
        return tr(mark.words)
    return tr("{mark}, {minutes} min after it began").format(
        mark=tr(mark.words), minutes=number_words(str(after_min))
    )
