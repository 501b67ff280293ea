"""What is typed in a box of a paper sheet, understood: a value, its time and a note, or trouble.

A box reads "7.2", "7.2 12:10", "7.2 12:10 felt shaky"; a second test of the same slot stands behind
a slash with spaces around it: "3.4 12:10 juice / 4.6 12:25". A dash is an empty box.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime
from typing import NamedTuple

from app.domain.entry import Entry
from app.domain.entry.clocks import Clock, clock_of, is_possible, read_clock
from app.domain.errors import Question
from app.domain.glucose import Bound, Glucose, Unit
from app.domain.marks import Mark
from app.domain.numerals import ascii_digits
from app.domain.person import Person
from app.domain.return_sheet import (
    LONGEST_CELL,
    CellReading,
    CellTrouble,
    SheetCell,
    Understood,
    date_of,
    key_of,
)
from app.work.retype import typed_time, typed_value

EMPTY = frozenset(("", "-", "–", "—", "−", "/"))
_UNITS = frozenset(("mg/dl", "mg", "mmol/l", "mmol"))
_SURE = ("--sure", "sure")
_CLOCK_LIKE = re.compile(r"\d+[:h]\d+")
_HALF = re.compile(r"(\d{1,2})(?:[:.](\d{2}))?([ap])\.?m\.?")
_APART = re.compile(r"\s+/\s+")
_FOUR = 4  # digits of a time without a colon: three could be a weight in the note


class _Pieces(NamedTuple):
    """A box cut up: the words of the value, the time where one stands, and the note."""

    value: str
    clock: Clock | None
    note: str | None


def read_box(
    cell: SheetCell,
    person: Person,
    unit: Unit,
    zone: str,
    usual: Mapping[Mark, int],
    *,
    now: datetime,
) -> tuple[Understood, ...]:
    """Understand a box; empty for an empty one.

    Parameters
    ----------
    unit : Unit
        That of the sheet, meant where none is typed.
    zone : str
        Where the sheet was kept.
    usual : mapping of Mark to int
        The usual minute of the day of each slot, for a value without a time.
    now : datetime
        The aware time: what is later has not come yet.
    """
    text = cell.text.strip()
    if text in EMPTY:
        return ()
    if len(text) > LONGEST_CELL:
        why = f"A box holds at most {LONGEST_CELL} characters; shorten the note."
        return (CellTrouble(key_of(cell.day, cell.slot), cell.day, cell.slot, text[:40], why),)
    found = []
    for number, part in enumerate((each for each in _APART.split(text) if each not in EMPTY), 1):
        key = key_of(cell.day, cell.slot, number)
        found.append(_read_one(key, cell, part, person, unit, zone, usual, now))
    return tuple(found)


def _read_one(
    key: str,
    cell: SheetCell,
    text: str,
    person: Person,
    unit: Unit,
    zone: str,
    usual: Mapping[Mark, int],
    now: datetime,
) -> Understood:
    def trouble(why: str, question: Question | None = None) -> CellTrouble:
        return CellTrouble(key, cell.day, cell.slot, text, why, question)

    pieces = _cut(text)
    value = typed_value(pieces.value, person, unit, now=now)
    if value.glucose is None and not value.questions and not pieces.value[:1].isdigit():
        return trouble(_no_value(text, unit))
    wrong = _wrong(value)
    if wrong is not None or value.glucose is None:
        return trouble(*(wrong or (_no_value(text, unit), None)))
    first = (pieces.note or "").partition(" ")[0]
    if pieces.clock is None and _CLOCK_LIKE.fullmatch(first):
        return trouble(f'"{first}" is not a time of day; write it as 12:10.')
    minute = usual.get(cell.slot)
    if pieces.clock is not None:
        minute = pieces.clock.hour * 60 + pieces.clock.minute
    if minute is None:
        return trouble(
            f"No time stands with {text}, and no usual time of {cell.slot.words} is known; "
            f"add it, for instance {pieces.value} 12:10."
        )
    day = date_of(cell.day, cell.slot, minute)
    timed = typed_time(_wall(day, minute, pieces), person, now=now, zone=zone)
    wrong = _wrong(timed)
    if timed.moment is None or wrong is not None:
        return trouble(*_about_time(day, minute, timed))
    return CellReading(
        key=key,
        day=cell.day,
        slot=cell.slot,
        glucose=value.glucose,
        moment=timed.moment,
        has_time=pieces.clock is not None,
        note=pieces.note,
        odd_ok=any(piece.kind == "sure" for piece in value.pieces),
        typed=_typed(value) or pieces.value,
        time_state="sure" if pieces.clock is None or pieces.clock.offset_min is None else "asked",
    )


def _cut(text: str) -> _Pieces:
    words = text.split()
    stop = 1
    if words[0] in ("<", ">") and len(words) > 1:  # a sign apart from its number
        stop = 2
    while stop < len(words) and words[stop].casefold() in (*_UNITS, *_SURE):
        stop += 1
    clock, used = _clock(words[stop : stop + 2])
    rest = words[stop + used :]
    note = " ".join(rest) or None
    value = [_SURE[0] if word.casefold() in _SURE else word for word in words[:stop]]
    return _Pieces(" ".join(value), clock, note)


def _clock(words: list[str]) -> tuple[Clock | None, int]:
    """The time that the words begin with, and how many of them it takes."""
    if not words:
        return None, 0
    first = ascii_digits(words[0]).casefold().rstrip(",;")
    joined = f"{first}{words[1].casefold()}" if len(words) > 1 else ""
    for text, used in ((first, 1), (joined, 2)):
        half = _HALF.fullmatch(text)
        if half is not None and 1 <= int(half[1]) <= 12:
            found = Clock(int(half[1]) % 12 + 12 * (half[3] == "p"), int(half[2] or 0))
            return (found, used) if is_possible(found) else (None, 0)
    pointed = read_clock(first.replace("h", ":")) or (
        clock_of(first) if "." in first or len(first) == _FOUR else None
    )
    return (None, 0) if pointed is None or pointed.hour == 24 else (pointed, 1)


def _wall(day: date, minute: int, pieces: _Pieces) -> str:
    wall = f"{day.isoformat()}T{minute // 60:02d}:{minute % 60:02d}"
    offset = None if pieces.clock is None else pieces.clock.offset_min
    if offset is None:
        return wall
    sign = "-" if offset < 0 else "+"
    return f"{wall}{sign}{abs(offset) // 60:02d}:{abs(offset) % 60:02d}"


def _about_time(day: date, minute: int, timed: Entry) -> tuple[str, Question | None]:
    at = f"{minute // 60:02d}:{minute % 60:02d} on {day:%a} {day.day} {day:%b}"
    for question in timed.questions:
        if question.kind == "future":
            return f"{at} has not come yet; look at the day and the time.", None
        # The answers are whole stamps: of them a box needs the time with its offset.
        answers = tuple(each.split()[-1] for each in question.answers)
        return f"{at}: {question.asks}", Question(question.kind, question.asks, answers)
    return " ".join(timed.problems) or f"{at} is no time that can be taken.", None


def _wrong(entry: Entry) -> tuple[str, Question | None] | None:
    if entry.problems:
        return " ".join(entry.problems), None
    if entry.questions:
        question = entry.questions[0]
        return question.asks, question
    return None


def _no_value(text: str, unit: Unit) -> str:
    example = "112" if unit is Unit.MG_DL else "7.2"
    return f'"{text}" begins with no value; write the value first, as {example} 12:10.'


def _typed(entry: Entry) -> str | None:
    return next((piece.text for piece in entry.pieces if piece.kind == "value"), None)


def words_of(glucose: Glucose) -> str:
    """A result with its unit; LO and HI speak for themselves."""
    if glucose.bound is not Bound.EXACT and glucose.number is None:
        return glucose.shown(glucose.unit)
    return f"{glucose.shown(glucose.unit)} {glucose.unit}"
