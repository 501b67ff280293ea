"""Numbers on the page for an appointment: the person's unit first, the other one in brackets."""

from __future__ import annotations

import re
from collections.abc import Iterable
from html import escape
from unicodedata import bidirectional

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QGuiApplication

from app.domain.glucose import Glucose, LimitPair, Unit, converted, shown
from app.domain.numerals import half_up
from app.review.figure import Figure, Mean, Missing, OffScale
from app.review.parts import Evened
from app.review.words import figure_words
from app.statistics.off_scale import round_bound

MINUS, THIN = "−", "\u2009"


def tr(text: str) -> str:
    """Translate a text of the page."""
    return QCoreApplication.translate("Page", text)


def strong(text: str) -> str:
    """A text in the heavier weight, as the painter and the web page read it."""
    return f"<b>{escape(text)}</b>"


def plain(text: str) -> str:
    """A text that people typed, never read as markup, whichever way its script runs."""
    return escape(isolated(" ".join(text.split())))


def without_names(text: str, names: Iterable[str]) -> str:
    """A text of the page in which other people are nobody: for a screen that others see."""
    hidden = [re.escape(escape(each)) for each in sorted(names, key=len, reverse=True)]
    if not hidden:
        return text
    return re.sub(rf"(?<!\w)(?:{'|'.join(hidden)})(?!\w)", tr("someone"), text, flags=re.IGNORECASE)


def isolated(text: str) -> str:
    """A typed text that moves nothing around it, also where its script runs from the right."""
    if any(bidirectional(letter) in ("R", "AL") for letter in text):
        return f"\u2068{text}\u2069"
    return text


def both(value: float, unit: Unit, second: Unit) -> str:
    """A number in one unit and, in brackets, in the other: "152 (8.4)"."""
    return f"{shown(value, unit)} ({shown(converted(value, unit, second), second)})"


def both_fine(value: float, unit: Unit, second: Unit) -> str:
    """A mean with one decimal in either unit: "135.5 (7.5)"."""
    other = shown(converted(value, unit, second), second)
    return f"{half_up(value, 1)} ({other})"


def limit_words(limit: LimitPair, unit: Unit, second: Unit) -> str:
    """A limit as guidelines print it, in both units: "180 (10.0)"."""
    return f"{_printed(limit, unit)} ({_printed(limit, second)})"


def _printed(limit: LimitPair, unit: Unit) -> str:
    return f"{limit.in_unit(unit):.{unit.places}f}"


def difference_words(value: float, unit: Unit, second: Unit) -> str:
    """A rise or a fall with its sign, in both units: "+63 (+3.5)"."""
    return f"{_signed(value, unit)} ({_signed(converted(value, unit, second), second)})"


def _signed(value: float, unit: Unit) -> str:
    text = shown(abs(value), unit)
    if not float(text):
        return text
    return signed(text, above=value > 0)


def signed(digits: str, *, above: bool) -> str:
    """Digits with their sign before them, also in a language that is written from the right."""
    mark = ""
    if QGuiApplication.layoutDirection() is Qt.LayoutDirection.RightToLeft:
        mark = "\u200e"  # else the sign would stand behind its number
    return f"{mark}{'+' if above else MINUS}{digits}"


def mean_both(mean: Mean | Evened | Missing, unit: Unit, second: Unit) -> str:
    """A mean or its bound in both units; the words for why there is none."""
    if isinstance(mean, Missing):
        return tr("not shown: {why}").format(why=mean.why)
    if mean.value is not None:
        return both(mean.value, unit, second)
    bound, sign, side = (
        (mean.at_least, "≥ ", "at_least")
        if mean.at_least is not None
        else (mean.at_most, "≤ ", "at_most")
    )
    if bound is None:
        return tr("not shown")
    first = round_bound(bound, side, places=unit.places)  # type: ignore[arg-type]
    other = round_bound(converted(bound, unit, second), side, places=second.places)  # type: ignore[arg-type]
    return f"{sign}{first} ({sign}{other})"


def figure_both(figure: Figure, unit: Unit, second: Unit) -> str:
    """A figure of glucose in both units; off the scale or missing in words."""
    if isinstance(figure, Missing):
        return tr("not shown: {why}").format(why=figure.why)
    if isinstance(figure, OffScale):
        return figure_words(figure, unit)
    return both(figure, unit, second)


def glucose_both(glucose: Glucose, unit: Unit, second: Unit) -> str:
    """A result as it is shown in both units; LO and HI speak for themselves."""
    first, other = glucose.shown(unit), glucose.shown(second)
    return first if first == other else f"{first} ({other})"


def many(count: int, one: str, more: str) -> str:
    """A count with its noun: "1 day", "90 days"."""
    return f"{count} {tr(one if count == 1 else more)}"


def listed(parts: list[str]) -> str:
    """Parts joined as in a sentence: "a, b and c"."""
    if len(parts) < 2:
        return "".join(parts)
    return tr("{first} and {last}").format(first=", ".join(parts[:-1]), last=parts[-1])
