"""What was done to readings in words, and what taking it back did."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from app.domain.glucose import Bound, Glucose, Unit
from app.domain.marks import Mark, known_mark

EDIT, MARK, SET_ASIDE, NOT_MINE, COUNTED_AGAIN, BIN = (
    "edit",
    "set_mark",
    "set_aside",
    "not_mine",
    "counted_again",
    "bin",
)
_KEPT = "kept, and left out of every figure"


def done_sentence(kind: str, words: Mapping[str, Any]) -> str:
    """What was done, in the past tense, and what it means for the figures."""
    n = int(words["count"])
    they_are = "It is" if n == 1 else "They are"
    if kind == EDIT:
        return (
            f"Changed: {_listed(words['parts'])} of the reading {words['reading']}. "
            "What it said before is in the journal."
        )
    if kind == MARK:
        mark = known_mark(words["mark"])
        if mark is Mark.NONE:
            return f"{_are(n)} now without a mark, and in no slot."
        return f"{_are(n)} now marked “{words['mark'] if mark is None else mark.words}”."
    if kind == SET_ASIDE:
        return f"{_were(n)} set aside: {words['why']}. {they_are} {_KEPT}."
    if kind == NOT_MINE:
        return f"{_are(n)} now “not mine”. {they_are} {_KEPT}."
    if kind == COUNTED_AGAIN:
        return f"{_readings(n)} {'counts' if n == 1 else 'count'} again in every figure."
    if kind == BIN:
        return f"{_are(n)} in the bin, and in no figure."
    raise ValueError(f"no sentence for what was done: kind={kind!r}")


def undone_sentence(kind: str, words: Mapping[str, Any]) -> str | None:
    """What taking it back did; None for what is not done to readings that are there."""
    if kind == EDIT and "reading" in words:
        return f"Taken back: the reading {words['reading']} is as it was."
    n = int(words.get("count", 0))
    if kind == MARK:
        return f"Taken back: {_readings(n)} {'has its' if n == 1 else 'have their'} old mark again."
    if kind in (SET_ASIDE, NOT_MINE, COUNTED_AGAIN):
        return f"Taken back: {_readings(n)} {'stands' if n == 1 else 'stand'} as before."
    if kind == BIN:
        return f"Taken back: {_are(n)} out of the bin again."
    return None


def reading_words(row: Mapping[str, Any]) -> str:
    """One reading of the store: "7.2 mmol/L, 2026-03-12 07:05"."""
    unit = Unit(row["unit"])
    glucose = Glucose(row["value"], unit, Bound(row["bound"]))
    at = "no time" if row["wall"] is None else row["wall"].replace("T", " ")
    return f"{glucose.shown(unit)} {unit}, {at}"


def _readings(n: int) -> str:
    return "1 reading" if n == 1 else f"{n} readings"


def _are(n: int) -> str:
    return f"{_readings(n)} {'is' if n == 1 else 'are'}"


def _were(n: int) -> str:
    return f"{_readings(n)} {'was' if n == 1 else 'were'}"


def _listed(parts: Sequence[str]) -> str:
    return f"{', '.join(parts[:-1])} and {parts[-1]}" if len(parts) > 1 else parts[0]
