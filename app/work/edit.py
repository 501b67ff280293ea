"""What a person does to readings that are there: correct one, or mark, set apart and bin several.

Each is one transaction with one entry in the journal, which keeps what was there before; the raw
stamp of a reading is never touched.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from typing import Any, Final

from app.domain.entry import Entry
from app.domain.errors import NeedsAnswer, Refused
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Standing
from app.store import amend
from app.store.diary import Diary
from app.store.journal import Change
from app.store.readings import moment_fields
from app.work.edit_words import Row, done_sentence, reading_words
from app.work.enter import time_state

EDIT, MARK, SET_ASIDE, NOT_MINE, COUNTED_AGAIN, BIN = (
    "edit",
    "set_mark",
    "set_aside",
    "not_mine",
    "counted_again",
    "bin",
)
LONGEST_REASON = 200


class Unsaid(Enum):
    """Says nothing about a field: it stays as it is."""

    KEEP = "keep"


KEEP: Final = Unsaid.KEEP


@dataclass(frozen=True, slots=True)
class Edit:
    """What one reading is to say from now on; a field that is `KEEP` stays as it was.

    `value` and `time` are what `typed_value` and `typed_time` read; `value_sure` says that the
    person keeps an odd value. `site` is the pair of site and detail.
    """

    value: Entry | Unsaid = KEEP
    value_sure: bool = False
    time: Entry | Unsaid = KEEP
    mark: Mark | Unsaid = KEEP
    after_min: int | None | Unsaid = KEEP
    site: tuple[str | None, str | None] | Unsaid = KEEP
    hands: str | Unsaid = KEEP
    note: str | None | Unsaid = KEEP
    tags: tuple[str, ...] | Unsaid = KEEP
    keeper: str | None | Unsaid = KEEP


@dataclass(frozen=True, slots=True)
class Done:
    """What was done: its kind, to how many readings, and the words of its sentence."""

    kind: str
    count: int
    words: dict[str, Any]

    @property
    def sentence(self) -> str:
        """What was done and what it means for the figures, in the past tense."""
        return done_sentence(self.kind, self.words)


def edit_reading(diary: Diary, person: Person, row_id: int, edit: Edit, *, now: datetime) -> Done:
    """Correct one reading; what it said before stays in the journal.

    Raises
    ------
    Refused
        A value or time can't be taken, nothing is different, or the reading is gone.
    NeedsAnswer
        A question about the value or the time must be answered first. In every case nothing was
        changed.
    """
    fields = _fields(edit, now)
    words: dict[str, Any] = {"count": 1}
    with diary.change(EDIT, words, now=now, person=person) as change:
        row = _one(change, person, row_id)
        lines = change.lines
        if not isinstance(edit.mark, Unsaid) or not isinstance(edit.after_min, Unsaid):
            fields |= _marked(edit, row)
        if not isinstance(edit.keeper, Unsaid):
            fields["keeper_id"] = amend.keeper_id(change, edit.keeper)
        amend.rewrite(change, row_id, **fields)
        if not isinstance(edit.note, Unsaid):
            amend.rewrite_note(change, row, edit.note)
        if not isinstance(edit.tags, Unsaid):
            amend.rewrite_tags(change, person, row, edit.tags)
        if change.lines == lines:
            raise Refused("The reading says that already; nothing was changed.")
        words["reading"] = reading_words(row)
        change.says(words)
    return Done(EDIT, 1, words)
