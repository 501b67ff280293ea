"""Put the answer to a question into the line that raised it, as the person would have typed it."""

from __future__ import annotations

from app.domain.entry.records import Entry
from app.domain.errors import Question

_WHOLE_LINE = frozenset(("reading", "mark", "site", "hands", "which_time", "which_day"))


def with_answer(text: str, entry: Entry, question: Question, answer: str) -> str:
    """Write the line again with one of the answers of one of its questions.

    A question about the value or the time has answers that stand for its pieces; the others have
    whole lines. An answer for a time that was given apart belongs there, not in the line.
    """
    if answer == "--sure":
        return f"--sure {text}"
    if question.kind in _WHOLE_LINE:
        return answer
    kinds = ("value", "unit") if question.kind == "value" else ("time", "date")
    pieces = [piece for piece in entry.pieces if piece.kind in kinds]
    for place, piece in reversed(list(enumerate(pieces))):
        new = answer if place == 0 else ""
        text = f"{text[: piece.start]}{new}{text[piece.end :]}"
    return " ".join(text.split())
