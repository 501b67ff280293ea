"""Taking back a change, and taking that back: the newest one, or an older one alone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from app.domain.errors import NeedsAnswer, Question, Refused
from app.domain.person import Person
from app.store.diary import Diary
from app.store.history import Entry, entries_by_id, next_redo
from app.store.in_the_way import InTheWay
from app.store.restoring import NameTaken
from app.store.undo import Undone, last_entry, redo, take_back
from app.store.undo_import import EditedSince
from app.work.entry_line import line_of, why_not
from app.work.told import done_again
from app.work.told_back import taken_back

EDITED = ("keep", "take-too")  # what becomes of rows of an import that were edited since
_SHOWN = 3  # changes named in a refusal

_SAFE = "Nothing was changed."


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What was taken back: its kind, the words of its sentence, how many rows it touched.

    `kept` rows of an import were edited since and stay; `beside` had stayed for what was taken
    back now, and went with it.
    """

    kind: str
    words: dict[str, Any]
    rows: int
    kept: int = 0
    beside: int = 0

    @property
    def sentence(self) -> str:
        """What was done, in the past tense."""
        return taken_back(self.kind, self.words, rows=self.rows, kept=self.kept, beside=self.beside)


@dataclass(frozen=True, slots=True)
class DoneAgain:
    """What a redo brought back: the kind of the change, its words, how many rows it touched."""

    kind: str
    words: dict[str, Any]
    rows: int

    @property
    def sentence(self) -> str:
        """What was done, in the past tense."""
        return done_again(self.kind, self.words)


def undo_last(
    diary: Diary, person: Person | None, *, now: datetime, edited: str | None = None
) -> TakenBack:
    """Take back the newest change that stands, made on this computer.

    Parameters
    ----------
    edited : {'keep', 'take-too'}, optional
        What becomes of the rows of an import that were edited since.

    Raises
    ------
    Refused
        There is nothing to take back, or a change made elsewhere stands in the way.
    NeedsAnswer
        Rows of the import were edited since. In every case nothing was changed.
    """
    entry = last_entry(diary, person)
    if entry is None:
        raise Refused("There is nothing to take back; nothing was changed.")
    return _taken_back(diary, entry, now=now, edited=edited)


def undo_entry(
    diary: Diary,
    entry_id: int,
    *,
    now: datetime,
    person: Person | None = None,
    edited: str | None = None,
) -> TakenBack:
    """Take back one change alone, named by its number in the history.

    Parameters
    ----------
    person : Person, optional
        Whose change it must be, where that was said.

    Raises
    ------
    Refused
        It can't be taken back, or later changes touched the same: the sentence says which.
    NeedsAnswer
        Rows of the import were edited since. In every case nothing was changed.
    """
    found = entries_by_id(diary, [entry_id])
    if not found:
        raise Refused(f"There is no change number {entry_id} in the history. {_SAFE}")
    entry = found[0]
    if person is not None and entry.person_id not in (None, person.id):
        raise Refused(f"Change number {entry_id} is not one of {person.name}'s. {_SAFE}")
    why = why_not(entry)
    if why is not None:
        raise Refused(f"{why} {_SAFE}")
    return _taken_back(diary, entry, now=now, edited=edited)


def redo_last(diary: Diary, person: Person | None, *, now: datetime) -> DoneAgain:
    """Do again what was taken back last, as long as nothing else was changed since.

    Raises
    ------
    Refused
        There is nothing to do again, or a change made elsewhere stands in the way; nothing was
        changed.
    """
    undo = next_redo(diary, person)
    if undo is None:
        raise Refused(
            "There is nothing to do again: nothing was taken back, or something else was changed "
            "since. Nothing was changed."
        )
    words = {name: value for name, value in undo.words.items() if name != "kind"}
    try:
        done = redo(diary, undo, now=now)
    except InTheWay as trouble:
        raise Refused(_standing(diary, trouble, "Not done again")) from trouble
    except NameTaken as trouble:
        raise Refused(name_taken(trouble.name)) from trouble
    return DoneAgain(str(undo.words.get("kind", "")), words, done.rows)


def name_taken(name: str) -> str:
    """The sentence for a person who can't come back yet."""
    return (
        f'There is another person named "{name}" now, so the one in the bin was not brought back. '
        "Nothing was changed; give the other one a different name first."
    )


def _taken_back(diary: Diary, entry: Entry, *, now: datetime, edited: str | None) -> TakenBack:
    try:
        done: Undone = take_back(diary, entry, now=now, edited=edited)
    except InTheWay as trouble:
        raise Refused(_standing(diary, trouble, "Not taken back")) from trouble
    except NameTaken as trouble:
        raise Refused(name_taken(trouble.name)) from trouble
    except EditedSince as trouble:
        raise NeedsAnswer((_edited_question(trouble.rows),)) from trouble
    return TakenBack(entry.kind, entry.words, done.rows, done.kept, done.beside)


def _edited_question(rows: int) -> Question:
    one = rows == 1
    return Question(
        "edited",
        f"{rows:,} {'row' if one else 'rows'} of this import {'was' if one else 'were'} edited "
        f"since. Keep {'it' if one else 'them'} in the diary, or take {'it' if one else 'them'} "
        "back too? Nothing was changed yet.",
        tuple(f"--edited {answer}" for answer in EDITED),
    )


def _standing(diary: Diary, trouble: InTheWay, done: str) -> str:
    named = [line_of(diary, entry) for entry in trouble.entries[:_SHOWN]]
    more = len(trouble.entries) - len(named)
    said = "; ".join(
        f"number {line.entry} ({line.when}, {line.by}): {line.sentence.removesuffix('.')}"
        for line in named
    )
    rest = f"; and {more:,} more" if more > 0 else ""
    many = len(trouble.entries) != 1
    if any(why_not(entry) for entry in trouble.entries):
        return (
            f"{done}, because {'later changes rest' if many else 'a later change rests'} on the "
            f"same: {said}{rest}. Nothing was changed; that can't be taken back here, so correct "
            "the record itself."
        )
    return (
        f"{done}, because {'later changes rest' if many else 'a later change rests'} on the same: "
        f"{said}{rest}. Nothing was changed; take {'those' if many else 'that'} back first."
    )
