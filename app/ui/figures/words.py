"""What the Figures page says in words: numbers in the system's digits, periods, counts."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from app.domain.glucose import Unit, shown
from app.domain.numerals import half_up
from app.review.figure import Figure, Mean, Missing
from app.review.parts import Evened
from app.statistics.off_scale import round_bound
from app.ui.words import count_words, number_words


def tr(text: str) -> str:
    """Translate a text of the Figures page."""
    return QCoreApplication.translate("Figures", text)


def many(count: int, one: str, more: str, **rest: str) -> str:
    """A sentence for one or for more, its `{n}` and the other places filled."""
    return tr(one if count == 1 else more).format(n=count_words(count), **rest)


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
