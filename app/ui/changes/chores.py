"""The calls about changes that are made off the GUI thread; what they need is imported there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from app.domain.errors import NeedsAnswer, Question
from app.domain.person import Person
from app.store.diary import Diary

if TYPE_CHECKING:
    from app.work.bin import Contents, Done
    from app.work.entry_line import Line
    from app.work.history import Next
    from app.work.take_back import DoneAgain, TakenBack

AT_ONCE = 100  # changes that the history loads at a time


@dataclass(frozen=True, slots=True)
class Part:
    """Some changes of the history, the newest first, and whether there are older ones.

    `several` says that the diary holds or held several people, `steps` what undo and redo would do.
    """

    lines: tuple[Line, ...]
    more: bool
    several: bool
    steps: Next


def steps(diary: Diary, shown: Person | None) -> Next:
    """What undo and redo would do while this person is looked at."""
    from app.work.history import Next, next_steps, turn_beside

    return Next(
        next_steps(diary, turn_beside(diary, shown)).undo,
        next_steps(diary, turn_beside(diary, shown, redo=True)).redo,
    )


def undo(
    diary: Diary, shown: Person | None, now: datetime, *, edited: str | None = None
) -> TakenBack:
    """Take back the newest change."""
    from app.work.history import turn_beside
    from app.work.take_back import undo_last

    return undo_last(diary, turn_beside(diary, shown), now=now, edited=edited)


def undo_one(diary: Diary, entry: int, now: datetime, *, edited: str | None = None) -> TakenBack:
    """Take back one change alone."""
    from app.work.take_back import undo_entry

    return undo_entry(diary, entry, now=now, edited=edited)


def redo(diary: Diary, shown: Person | None, now: datetime) -> DoneAgain:
    """Do again what was taken back last."""
    from app.work.history import turn_beside
    from app.work.take_back import redo_last

    return redo_last(diary, turn_beside(diary, shown, redo=True), now=now)


def part(
    diary: Diary,
    shown: Person | None,
    *,
    everybody: bool,
    before: int | None = None,
    count: int = AT_ONCE,
) -> Part:
    """Some of the history: of the person shown or of everybody, from its newest or before one."""
    from app.store.people import persons_ever
    from app.work.history import history

    whose = None if everybody else shown
    found = history(diary, whose, limit=count + 1, before=before)
    return Part(
        found[:count], len(found) > count, len(persons_ever(diary)) > 1, steps(diary, shown)
    )


def in_bin(diary: Diary, now: datetime) -> Contents:
    """Everything in the bin, of everybody."""
    from app.work.bin import in_bin as contents

    return contents(diary, now=now)


def restore(diary: Diary, codes: list[str], now: datetime) -> Done:
    """Take things out of the bin."""
    from app.work.bin import restore_from_bin

    return restore_from_bin(diary, codes, now=now)


def ask_to_empty(diary: Diary, now: datetime, *, old_only: bool) -> Question:
    """The question that goes before emptying the bin; nothing is changed."""
    from app.work.bin import empty_bin

    try:
        empty_bin(diary, now=now, old_only=old_only)
    except NeedsAnswer as asked:
        return asked.questions[0]
    raise AssertionError("the bin was emptied unasked")


def empty(diary: Diary, now: datetime, *, old_only: bool) -> Done:
    """Empty the bin for good, after a backup; the person said so."""
    from app.work.bin import empty_bin

    return empty_bin(diary, now=now, old_only=old_only, sure=True)


def remove(diary: Diary, person: Person, name_again: str, now: datetime) -> Done:
    """Put a person into the bin, after a backup."""
    from app.work.bin import remove_person

    return remove_person(diary, person, name_again=name_again, now=now)
