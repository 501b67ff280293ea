"""The words of the window for what is no reading."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from app.domain.errors import Question

SURE = "--sure"
_OF_A_VALUE = ("value", "unit", "carbs")


def tr(text: str) -> str:
    """Translate a text of this window."""
    return QCoreApplication.translate("WriteDown", text)


# The kinds of events and of days as a person chooses them; the codes are those of the file.
EVENTS = (
    ("meal", "meal"),
    ("snack", "snack"),
    ("exercise", "exercise"),
    ("symptom", "something felt"),
    ("journey", "travel"),
    ("other", "something else, in words of your own"),
)
DAYS = (
    ("sick", "sick days"),
    ("journey", "travel"),
    ("holiday", "holiday"),
    ("away", "away from home"),
    ("exam", "exams"),
    ("term", "term"),
    ("cycle", "cycle"),
    ("steroid", "steroid course"),
    ("paused", "a pause in testing"),
    ("set_aside", "set aside, for a reason of your own"),
    ("own", "a name of your own"),
)


def is_of_value(question: Question) -> bool:
    """Whether a question asks about the value, not about the time."""
    return question.kind in _OF_A_VALUE


def asked_words(question: Question) -> str:
    """What is asked; which words to type is told by the buttons."""
    return question.asks.replace(f" Say {SURE} to keep it as typed.", "")


def answer_words(answer: str) -> str:
    """What stands on the button of an answer."""
    return tr("Keep it as typed") if answer == SURE else answer.strip('"')
