"""What a person does to readings that are there: correct one, or mark, set apart and bin several.

Each is one transaction with one entry in the journal, which keeps what was there before; the raw
stamp of a reading is never touched.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from enum import Enum
from typing import Any, Final

from app.domain.entry import Entry
from app.domain.errors import NeedsAnswer, Refused
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Standing
from app.store import amend
from app.store.amend import Row
from app.store.diary import Diary
from app.store.journal import Change
from app.store.readings import moment_fields
from app.work import edit_words
from app.work.enter import time_state

LONGEST_REASON = 200

_GONE = "This reading is no longer in the diary; nothing was changed."
_SAME = "Nothing was different, so nothing was changed."


class Unsaid(Enum):
    """Says nothing about a field: it stays as it is."""

    KEEP = "keep"


KEEP: Final = Unsaid.KEEP


@dataclass(frozen=True, slots=True)
class Edit:
    """What one reading is to say from now on; a field that is `KEEP` stays as it was.

    `value` and `time` are what `typed_value` and `typed_time` read. `site` is the pair of site and
    detail. `keep_odd` says that the person confirmed an odd value.
    """

    value: Entry | Unsaid = KEEP
    time: Entry | Unsaid = KEEP
    mark: Mark | Unsaid = KEEP
    after_min: int | Unsaid | None = KEEP
    site: tuple[str | None, str | None] | Unsaid = KEEP
    hands: str | Unsaid = KEEP
    note: str | Unsaid | None = KEEP
    note_is_private: bool | Unsaid = KEEP
    tags: tuple[str, ...] | Unsaid = KEEP
    keeper: str | Unsaid | None = KEEP
    keep_odd: bool = False

    @property
    def parts(self) -> list[str]:
        """What is said anew, in words."""
        said = [each.name for each in fields(self) if each.name != "keep_odd"]
        names = {
            "after_min": "minutes after the meal",
            "site": "sampling site",
            "note_is_private": "where the note stays",
        }
        return [names.get(name, name) for name in said if getattr(self, name) is not KEEP]


@dataclass(frozen=True, slots=True)
class Done:
    """What was done: its kind, to how many readings, and what its sentence is filled with."""

    kind: str
    count: int
    words: Mapping[str, Any]

    @property
    def sentence(self) -> str:
        """What was done, in the past tense, and what it means for the figures."""
        return edit_words.done_sentence(self.kind, self.words)


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
    new = _value_fields(edit) | _time_fields(edit, now)
    with diary.reading() as connection:
        before = amend.held(connection, person, [row_id])
    if not before:
        raise Refused(_GONE)
    if not edit.parts:
        raise Refused(_SAME)
    words = {"count": 1, "reading": edit_words.reading_words(dict(before[0])), "parts": edit.parts}
    with diary.change(edit_words.EDIT, words, now=now, person=person) as change:
        if not _write(change, person, row_id, edit, new):
            raise Refused(_SAME)  # leaves no trace, for nothing is committed
    return Done(edit_words.EDIT, 1, words)


def set_mark(
    diary: Diary, person: Person, ids: Iterable[int], mark: Mark, *, now: datetime
) -> Done:
    """Give readings a mark, or take it away with `Mark.NONE`.

    Raises
    ------
    Refused
        None of them would be different.
    """

    def change_mark(change: Change, rows: Sequence[Row]) -> None:
        amend.rewrite_all(change, ((row, _mark_fields(mark, row["after_min"])) for row in rows))

    return _to_each(
        diary, person, ids, edit_words.MARK, {"mark": mark.value}, change_mark,
        differs=lambda row: bool(row["mark"] != mark.value), now=now,
    )  # fmt: skip


def set_aside(diary: Diary, person: Person, ids: Iterable[int], why: str, *, now: datetime) -> Done:
    """Take readings out of every figure, with the reason; they stay in the diary.

    Raises
    ------
    Refused
        There is no reason, or it is too long, or none of them would be different.
    """
    reason = " ".join(why.split()).rstrip(".")
    if not reason:
        raise Refused("Say why they are set aside, for instance: the strips lay open.")
    if len(reason) > LONGEST_REASON:
        raise Refused(f"A reason has at most {LONGEST_REASON} characters; shorten it.")
    return _stand(diary, person, ids, edit_words.SET_ASIDE, Standing.SET_ASIDE, reason, now=now)


def set_not_mine(diary: Diary, person: Person, ids: Iterable[int], *, now: datetime) -> Done:
    """Say that readings are somebody else's: kept, in no figure, known when a meter is checked.

    Raises
    ------
    Refused
        None of them would be different.
    """
    return _stand(diary, person, ids, edit_words.NOT_MINE, Standing.NOT_MINE, None, now=now)


def count_again(diary: Diary, person: Person, ids: Iterable[int], *, now: datetime) -> Done:
    """Let readings count that were set aside or not mine.

    Raises
    ------
    Refused
        All of them count already.
    """
    return _stand(diary, person, ids, edit_words.COUNTED_AGAIN, Standing.COUNTED, None, now=now)


def put_in_bin(diary: Diary, person: Person, ids: Iterable[int], *, now: datetime) -> Done:
    """Put readings into the bin, with their notes and tags.

    Raises
    ------
    Refused
        They are no longer in the diary.
    """
    return _to_each(
        diary, person, ids, edit_words.BIN, {}, amend.into_the_bin,
        differs=lambda _row: True, now=now,
    )  # fmt: skip


def _stand(
    diary: Diary,
    person: Person,
    ids: Iterable[int],
    kind: str,
    standing: Standing,
    why: str | None,
    *,
    now: datetime,
) -> Done:
    new = {"standing": standing.value, "standing_why": why}

    def change_standing(change: Change, rows: Sequence[Row]) -> None:
        amend.rewrite_all(change, ((row, new) for row in rows))

    def differs(row: Row) -> bool:
        # What somebody else's reading was said to be stays, as long as it stays somebody else's.
        same_why = why is None or row["standing_why"] == why
        return not (row["standing"] == standing.value and same_why)

    words = {} if why is None else {"why": why}
    return _to_each(diary, person, ids, kind, words, change_standing, differs=differs, now=now)


def _to_each(
    diary: Diary,
    person: Person,
    ids: Iterable[int],
    kind: str,
    words: Mapping[str, Any],
    do: Callable[[Change, Sequence[Row]], None],
    *,
    differs: Callable[[Row], bool],
    now: datetime,
) -> Done:
    with diary.reading() as connection:
        rows = [row for row in amend.held(connection, person, ids) if differs(row)]
    if not rows:
        raise Refused(_SAME)
    said = {"count": len(rows), **words}
    with diary.change(kind, said, now=now, person=person) as change:
        do(change, amend.held(change.connection, person, [row["id"] for row in rows]))
    return Done(kind, len(rows), said)


def _write(change: Change, person: Person, row_id: int, edit: Edit, new: Mapping[str, Any]) -> bool:
    found = amend.held(change.connection, person, [row_id])
    if not found:
        raise Refused(_GONE)
    row, columns = found[0], dict(new)
    after = row["after_min"] if isinstance(edit.after_min, Unsaid) else edit.after_min
    if not isinstance(edit.mark, Unsaid) and edit.mark != row["mark"]:
        columns |= _mark_fields(edit.mark, after)
    elif not isinstance(edit.after_min, Unsaid):
        columns["after_min"] = after
    if not isinstance(edit.site, Unsaid):
        columns["site"], columns["site_detail"] = edit.site
    if not isinstance(edit.hands, Unsaid):
        columns["hands"] = edit.hands
    if not isinstance(edit.keeper, Unsaid):
        columns["keeper_id"] = amend.keeper_id(change, edit.keeper)
    changed = [amend.rewrite(change, row, columns)]
    if not isinstance(edit.note, Unsaid):
        private = None if isinstance(edit.note_is_private, Unsaid) else edit.note_is_private
        changed.append(amend.rewrite_note(change, row, edit.note, private=private))
    if not isinstance(edit.tags, Unsaid):
        changed.append(amend.rewrite_tags(change, person, row, edit.tags))
    return any(changed)


def _value_fields(edit: Edit) -> dict[str, Any]:
    if isinstance(edit.value, Unsaid):
        return {}
    _must_be_ready(edit.value)
    if edit.value.glucose is None:
        raise Refused("There is no result in what was typed; nothing was changed.")
    sure = edit.keep_odd or any(piece.kind == "sure" for piece in edit.value.pieces)
    return amend.glucose_fields(edit.value.glucose, odd_ok=sure)


def _time_fields(edit: Edit, now: datetime) -> dict[str, Any]:
    if isinstance(edit.time, Unsaid):
        return {}
    _must_be_ready(edit.time)
    moment = edit.time.moment
    if moment is None:
        raise Refused("There is no time in what was typed; nothing was changed.")
    return {
        **moment_fields(moment),
        "time_from": "typed",
        "time_state": time_state(moment, now),
        "time_precision": "minute",
        "clock_repair_id": None,  # a time given by hand is not moved by the repair of a clock
    }


def _mark_fields(mark: Mark, after_min: int | None) -> dict[str, Any]:
    """A mark by hand; the minutes after a meal belong to marks after one."""
    return {
        "mark": mark.value,
        "mark_from": None if mark is Mark.NONE else "person",
        "after_min": after_min if mark.is_after_meal else None,
    }


def _must_be_ready(entry: Entry) -> None:
    if entry.problems:
        raise Refused(" ".join(entry.problems))
    if entry.questions:
        raise NeedsAnswer(entry.questions)
