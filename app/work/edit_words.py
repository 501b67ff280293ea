"""What was done to readings, in words for the moment when it is done."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from app.domain.glucose import Bound, Glucose, Unit
from app.domain.marks import Mark, known_mark
from app.work.told import listed

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
            f"Changed: {listed(words['parts'])} of the reading {words['reading']}. "
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
