"""The words in which a meter's memory, or paper, tells what a record was."""

from __future__ import annotations

from app.domain.marks import SLOTS, Mark
from sample_db.records import ControlTest, Result

CONTROL = "control"

# Invented meters, so invented words: letters on one, whole words or key numbers on the others.
CODES: dict[str, dict[Mark, str]] = {
    "blue": dict(zip(SLOTS, ("w", "b+", "l-", "l+", "e-", "e+", "bed", "n"), strict=True)),
    "grey": {mark: mark.words for mark in SLOTS},
    "spare": {mark: str(key) for key, mark in enumerate(SLOTS, start=1)},
    "black": {mark: mark.words.upper() for mark in SLOTS},
}
_MARKED_ON_PAPER = ("black",)  # the other sheets have a time and a value, no more


def code_of(record: Result | ControlTest) -> str:
    """The word that the memory holds for a record: its mark, a control test, or nothing."""
    if isinstance(record, ControlTest):
        return CONTROL if record.flagged else ""
    return CODES[str(record.meter)].get(record.mark, "")


def paper_code_of(result: Result) -> str:
    """The word that paper holds for a result: its mark, or nothing."""
    if result.meter not in _MARKED_ON_PAPER or result.mark is Mark.NONE:
        return ""
    return result.mark.words
