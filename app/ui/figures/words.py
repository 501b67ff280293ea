"""What the Figures page says in words: numbers in the system's digits, periods, counts."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QCoreApplication, QLocale

from app.domain.clock import Period
from app.domain.glucose import Unit, shown
from app.domain.numerals import half_up
from app.domain.person import Person
from app.review.figure import Figure, Mean, Missing
from app.review.parts import Evened
from app.review.words import figure_words
from app.statistics.off_scale import round_bound
from app.ui.now.words import number_words

MINUS_RANGE = "–"


def tr(text: str) -> str:
    """Translate a text of the Figures page."""
    return QCoreApplication.translate("Figures", text)


def many(count: int, one: str, more: str, **rest: str) -> str:
    """A sentence for one or for more, its `{n}` and the other places filled."""
    return tr(one if count == 1 else more).format(n=number_words(str(count)), **rest)


def value_text(figure: Figure, unit: Unit) -> str:
    """A glucose figure in the system's digits; empty where there is none."""
    return "" if isinstance(figure, Missing) else number_words(figure_words(figure, unit))


def mean_text(mean: Mean | Evened | Missing, unit: Unit) -> str:
    """A mean, or its bound as "≥ 207"; empty where there is none."""
    if isinstance(mean, Missing):
        return ""
    if mean.value is not None:
        return number_words(shown(mean.value, unit))
    if mean.at_least is not None:
        return "≥ " + number_words(str(round_bound(mean.at_least, "at_least", places=unit.places)))
    if mean.at_most is not None:
        return "≤ " + number_words(str(round_bound(mean.at_most, "at_most", places=unit.places)))
    return ""


def percent_text(figure: Figure) -> str:
    """A coefficient in whole percent; empty where there is none."""
    if isinstance(figure, float):
        return tr("{number}\u00a0%").format(number=number_words(str(half_up(figure, 0))))
    return ""


def period_text(period: Period, person: Person) -> str:
    """A period in the person's order: "7 April – 6 May 2026", "April 7 – May 6, 2026"."""
    first, last = period.first, period.last
    if first == last:
        return day_text(first, person)
    begin = day_text(first, person, year=first.year != last.year)
    return f"{begin} {MINUS_RANGE} {day_text(last, person)}"


def day_text(day: date, person: Person, *, year: bool = True) -> str:
    """A day with its month in full, in the person's order."""
    locale = QLocale()
    month = locale.monthName(day.month, QLocale.FormatType.LongFormat)
    number, of_year = number_words(str(day.day)), number_words(str(day.year))
    if person.date_order == "mdy":
        return f"{month} {number}, {of_year}" if year else f"{month} {number}"
    if person.date_order == "ymd":
        return f"{of_year} {month} {number}" if year else f"{month} {number}"
    return f"{number} {month} {of_year}" if year else f"{number} {month}"


def date_format(person: Person) -> str:
    """Qt's format for a field with a date in the person's order."""
    return {"mdy": "MMM d, yyyy", "ymd": "yyyy-MM-dd"}.get(person.date_order, "d MMM yyyy")
