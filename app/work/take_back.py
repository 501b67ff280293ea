"""Taking back the last change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from app.domain.errors import Refused
from app.domain.person import Person
from app.store.diary import Diary
from app.store.undo import last_entry, take_back
from app.work.edit_words import undone_sentence


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What was taken back: its kind, the words of its sentence, how many rows it touched."""

    kind: str
    words: dict[str, Any]
    rows: int

    @property
    def sentence(self) -> str:
        """What was done, in the past tense."""
        if self.kind == "enter":
            return f"Taken back: the reading {self.words['reading']} is in the bin."
        if self.kind == "import":
            return (
                f"Taken back: the import of {self.words['file']}; {self.rows} rows are in the bin."
            )
        if self.kind == "person_add":
            return f"Taken back: {self.words['name']} is no longer in the diary."
        if self.kind == "targets_set":
            return f'Taken back: the goals "{self.words["name"]}" are no longer in force.'
        if self.kind == "settings":
            return f"Taken back: the settings of {self.words['name']} are as they were."
        said = undone_sentence(self.kind, self.words)
        return said or f"Taken back: {self.kind.replace('_', ' ')}."


def undo_last(diary: Diary, person: Person | None, *, now: datetime) -> TakenBack:
    """Take back the newest change that stands, made on this computer.

    Raises
    ------
    Refused
        There is nothing to take back.
    """
    entry = last_entry(diary, person)
    if entry is None:
        raise Refused("There is nothing to take back; nothing was changed.")
    rows = take_back(diary, entry, now=now, person=person)
    return TakenBack(entry.kind, entry.words, rows)
