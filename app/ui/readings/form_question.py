"""A question about a field of the form, as a box with its answers."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from app.ui.controls import Answer, ToAnswer
from app.ui.question_words import sentence_of
from app.ui.readings.reread import SURE, Asked
from app.ui.readings.words import tr


def question_box(asked: Asked, parent: QWidget) -> ToAnswer | None:
    """The box, named after its field; None for a question that only typing can answer."""
    question = asked.question
    if not question.answers:
        return None
    answers = [
        Answer(each, tr("Keep it as typed") if each == SURE else each, _hint(asked, place))
        for place, each in enumerate(question.answers)
    ]
    box = ToAnswer(sentence_of(question, asked.entry), answers, parent, stacked=True)
    box.setObjectName(asked.field)
    return box


def _hint(asked: Asked, place: int) -> str:
    """Which of two instants an answer stands for, where a time came twice."""
    return (tr("the first"), tr("the second"))[place] if asked.question.kind == "overlap" else ""
