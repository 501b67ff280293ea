"""What the diary asks about a typed line or a field, in a few words and as a sentence."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from app.domain.entry import Entry
from app.domain.errors import Question
from app.domain.glucose import Unit
from app.ui.words import value_words


def _tr(text: str) -> str:
    return QCoreApplication.translate("Question", text)


def title_of(question: Question, entry: Entry) -> str:
    """What is asked, in a few words."""
    if question.kind == "value":
        units = {unit.value for unit in Unit if entry.glucose and unit is not entry.glucose.unit}
        other = any(answer.endswith(unit) for answer in question.answers for unit in units)
        return _tr("Not saved yet: which unit?") if other else _tr("Not saved yet: which value?")
    return {
        "reading": _tr("Not saved yet: which number?"),
        "mark": _tr("Not saved yet: which mark?"),
        "site": _tr("Not saved yet: which site?"),
        "hands": _tr("Not saved yet: were hands washed?"),
        "which_time": _tr("Not saved yet: which time?"),
        "which_day": _tr("Not saved yet: which day?"),
        "future": _tr("Not saved yet: not come yet"),
        "overlap": _tr("Not saved yet: an hour that came twice"),
        "gap": _tr("Not saved yet: an hour that was skipped"),
    }.get(question.kind, _tr("Not saved yet: which time?"))


def sentence_of(question: Question, entry: Entry) -> str:
    """What is asked, as a sentence that fits buttons below it."""
    if question.kind == "value" and entry.glucose is not None:
        return _tr("{value} is not what a meter in {unit} shows. What did the meter show?").format(
            value=value_words(entry.glucose), unit=entry.glucose.unit
        )
    if question.kind == "future":
        # The sentences after the first tell what to type; here the buttons do.
        return question.asks.split(". ")[0].rstrip(".") + "."
    return question.asks
