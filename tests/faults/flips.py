"""Bits, bytes and pages of a diary changed, its end cut: does the program notice, by itself.

Noticed is what stops the opening, opens it as damaged, is told by `check`, which also runs weekly
and before each backup, or stops whoever reads it. What nobody notices must have changed nothing
that the diary says.
"""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from app.domain.errors import DiaryError
from app.store.check import check_file
from app.store.diary_file import open_diary
from app.store.state_hash import state_hash
from tests.faults.jobs import diary_in, with_readings
from tests.faults.report import Found
from tests.households import INSTALLATION

PAGE = 4096
READINGS = 300
BITS, PAGES = "a bit or a byte", "a page or the end"

Damage = Callable[[bytearray, random.Random], None]


def one_bit(raw: bytearray, chance: random.Random) -> None:
    """One bit turned over."""
    raw[chance.randrange(len(raw))] ^= 1 << chance.randrange(8)


def one_byte(raw: bytearray, chance: random.Random) -> None:
    """One byte changed to any other."""
    place = chance.randrange(len(raw))
    raw[place] = (raw[place] + chance.randint(1, 255)) % 256


def page_of_zeros(raw: bytearray, chance: random.Random) -> None:
    """A page that reads as zeros."""
    place = chance.randrange(len(raw) // PAGE) * PAGE
    raw[place : place + PAGE] = bytes(PAGE)


def page_of_noise(raw: bytearray, chance: random.Random) -> None:
    """A page of something else."""
    place = chance.randrange(1, len(raw) // PAGE) * PAGE
    raw[place : place + PAGE] = chance.randbytes(PAGE)


def cut(raw: bytearray, chance: random.Random) -> None:
    """The end is missing."""
    del raw[chance.randrange(1, len(raw)) :]


DAMAGES: dict[str, tuple[Damage, ...]] = {
    BITS: (one_bit, one_byte),
    PAGES: (page_of_zeros, page_of_noise, cut),
}


@dataclass(slots=True)
class _Seen:
    at_opening: int = 0
    by_check: int = 0
    by_reading: int = 0
    harmless: int = 0


def flip(folder: Path, kind: str, *, rounds: int, seed: int, control: str = "") -> Found:
    """Damage a diary again and again in ways of one kind.

    With `control` only SQLite's own integrity_check is asked, and must miss something.
    """
    folder.mkdir(exist_ok=True)
    with_readings(folder, READINGS)
    diary = diary_in(folder)
    whole, truth = diary.read_bytes(), _state(diary)
    other = folder / "damaged.thimblebook"
    chance = random.Random(f"{kind} {seed}")
    seen, broken = _Seen(), list[str]()
    for number in range(rounds):
        raw = bytearray(whole)
        damage = DAMAGES[kind][number % len(DAMAGES[kind])]
        damage(raw, chance)
        if raw == whole:  # a page that was zeros already
            continue
        other.write_bytes(raw)
        wrong = _wrong(other, seen, truth, alone=bool(control))
        if wrong:
            broken.append(f"{damage.__name__} {number}: {wrong}")
            if control:
                break
    return Found(
        "flip",
        kind,
        rounds,
        tuple(broken),
        control,
        seen={
            "at opening": seen.at_opening,
            "by check": seen.by_check,
            "by reading": seen.by_reading,
            "harmless": seen.harmless,
        },
    )


def _wrong(path: Path, seen: _Seen, truth: str | None, *, alone: bool) -> str:
    """What is wrong with how the program met this damage; empty where it met it rightly."""
    try:
        if _noticed(path, seen, alone=alone):
            return ""
        found = _state(path)
    except Exception as problem:  # whatever it is: it would have reached the person
        return f"a traceback: {type(problem).__name__} {problem}"
    if found is None:
        seen.by_reading += 1
        return ""
    if found == truth:  # of what is not in use, anything may have changed
        seen.harmless += 1
        return ""
    return "another value is shown as good"


def _noticed(path: Path, seen: _Seen, *, alone: bool) -> bool:
    if alone:
        return not _content(path)
    try:
        with open_diary(path, INSTALLATION) as diary:
            at_opening = diary.damaged
    except DiaryError:
        at_opening = True
    by_check = at_opening or bool(check_file(path).wrong)
    seen.at_opening += at_opening
    seen.by_check += by_check and not at_opening
    return at_opening or by_check


def _content(path: Path) -> bool:
    """Whether integrity_check finds nothing."""
    try:
        with closing(sqlite3.connect(path)) as connection:
            return connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    except (sqlite3.DatabaseError, UnicodeDecodeError):
        return False


def _state(path: Path) -> str | None:
    """What the diary says; None where reading it ends in a sentence that it is damaged."""
    try:
        with open_diary(path, INSTALLATION) as diary:
            return state_hash(diary)
    except DiaryError:
        return None
