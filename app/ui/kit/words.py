"""What the Kit page says."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QCoreApplication

from app.domain.person import Person
from app.review.kit import KitShown
from app.ui.words import count_words, date_words


def tr(text: str) -> str:
    """Translate a text of the Kit page."""
    return QCoreApplication.translate("Kit", text)


def many(count: int, one: str, more: str, **words: str) -> str:
    """A count with its noun; `words` fill what else the text leaves open."""
    return tr(one if count == 1 else more).format(n=count_words(count), **words)


def day_named(day: int, today: int, person: Person) -> str:
    """A date ordinal as a day: "Thu 28 May"; with the year where it is another one."""
    return date_words(date.fromordinal(day), date.fromordinal(today), person)


def head_words(shown: KitShown) -> str:
    """How many meters and vials there are, and how long the strips will last."""
    in_use = sum(each.in_use for each in shown.vials)
    parts = [
        many(len(shown.meters), "{n} meter", "{n} meters"),
        many(in_use, "{n} vial in use", "{n} vials in use"),
    ]
    strips = shown.strips
    if strips.left is not None:
        left = many(strips.left, "{n} strip left", "{n} strips left")
        if strips.forecast.runs_out is not None:
            left += tr(", until about {day}").format(
                day=day_named(strips.forecast.runs_out, shown.today, shown.person)
            )
        if strips.uncounted:
            left += tr(", not counting {vials}").format(vials=", ".join(strips.uncounted))
        parts.append(left)
    elif strips.uncounted:
        parts.append(
            tr("strips left unknown: nobody said how many {vials} holds").format(
                vials=", ".join(strips.uncounted)
            )
        )
    return " · ".join(parts)


def level_name(level: str) -> str:
    """The level of a control solution; one that is not known speaks for itself."""
    known = {"low": tr("low"), "normal": tr("normal"), "high": tr("high")}
    return known.get(level, level)
