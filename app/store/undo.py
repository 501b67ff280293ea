"""Taking back a change, and taking that back: its entry walked backwards by one of its own."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime

from app.domain.errors import Refused
from app.domain.person import Person
from app.store.diary import Diary
from app.store.history import IMPORT, REDO, UNDO, Entry, next_undo, standing, walked_back
from app.store.in_the_way import clear_the_way, in_the_way
from app.store.journal import Change
from app.store.links import Rows, by_table, put
from app.store.orphans import bin_orphans
from app.store.restoring import OwnerInBin, restore_rows, settle_targets
from app.store.undo_import import (
    SOURCES,
    ImportRows,
    bin_import,
    bring_import_back,
    rows_of_import,
    rows_put_away,
)
from app.store.undo_plan import Plan, backwards, rows_going


@dataclass(frozen=True, slots=True)
class Undone:
    """How many rows a change back touched, of an import those of the file.

    `kept` rows of an import were edited since and stay. `beside` rows of an import had been kept
    only for what was taken back now, and went into the bin with it.
    """

    rows: int
    kept: int = 0
    beside: int = 0


def last_entry(diary: Diary, person: Person | None) -> Entry | None:
    """The newest change of this copy that can be taken back; with a person, of that one alone."""
    return next_undo(diary, person)


def take_back(diary: Diary, entry: Entry, *, now: datetime, edited: str | None = None) -> Undone:
    """Take one change back, by an entry of its own.

    Parameters
    ----------
    edited : {'keep', 'take-too'}, optional
        What becomes of the rows of an import that were edited since.

    Raises
    ------
    InTheWay
        A later change touched the same, or rests on it.
    EditedSince
        Rows of the import were edited since, and `edited` says nothing.
    NameTaken
        A person can't come back while another one has the name.
    Refused
        It was taken back already. In every case nothing was changed.
    """
    with _walking(diary, UNDO, entry, now) as (change, plan):
        stands = standing(change.connection)
        brought = ImportRows({}, {})
        if entry.kind == IMPORT:
            brought = rows_of_import(change.connection, entry, plan, stands, edited=edited)
        clear_the_way(
            change.connection,
            plan,
            entry,
            brought.all,
            standing=stands,
            installation=diary.installation,
        )
        touched = _apply(change, plan, diary)
        if entry.kind == IMPORT:
            touched = brought.count + _sources_in(plan)
            bin_import(change, brought)
        beside = bin_orphans(change, plan, stands)
        return Undone(touched, brought.kept, beside)


def redo(diary: Diary, undo: Entry, *, now: datetime) -> Undone:
    """Take an undo back: what it had taken back is as it was before, an import's rows too.

    Raises
    ------
    InTheWay, NameTaken, Refused
        As for taking back; nothing was changed.
    """
    with _walking(diary, REDO, undo, now) as (change, plan):
        stands = standing(change.connection)
        away = rows_put_away(change.connection, undo, plan)
        clear_the_way(
            change.connection, plan, undo, {}, standing=stands, installation=diary.installation
        )
        touched = _apply(change, plan, diary)
        brought = bring_import_back(change, away)
        settle_targets(change, away)
        return Undone(brought or touched)


@contextmanager
def _walking(diary: Diary, kind: str, entry: Entry, now: datetime) -> Iterator[tuple[Change, Plan]]:
    words = {"kind": entry.kind, **entry.words}
    with diary.change(kind, words, now=now, undoes=entry.id) as change:
        # Another program may have done it since the entry was looked up; from here on none can.
        if walked_back(change.connection, entry.id, but=change.entry_id):
            raise Refused("This was taken back already; nothing was changed.")
        if entry.person_id is not None:
            change.concerns(entry.person_id)
        yield change, backwards(change.connection, entry.id)


def _apply(change: Change, plan: Plan, diary: Diary) -> int:
    for name, rows in rows_going(plan, live=False).items():
        change.delete_all(by_table(name), rows.values())
    for name, backs in plan.items():
        change.edit_all(
            by_table(name), [(back.row, back.before) for back in backs.values() if back.before]
        )
    try:
        restore_rows(change, rows_going(plan, live=True))
        settle_targets(change, _pointed_anew(plan))
    except OwnerInBin as trouble:
        raise in_the_way(
            change.connection,
            [trouble.entry_id],
            standing(change.connection),
            diary.installation,
        ) from trouble
    return sum(len(backs) for backs in plan.values())


def _pointed_anew(plan: Plan) -> Rows:
    """Live rows that refer to something else from now on."""
    rows: Rows = {}
    for name, backs in plan.items():
        anew = (
            {**back.row, **back.before}
            for back in backs.values()
            if back.live is None
            and back.row["deleted_at"] is None
            and any(field.endswith("_id") for field in back.before)
        )
        put(rows, name, anew)
    return rows


def _sources_in(plan: Plan) -> int:
    return sum(
        back.live is False for table in SOURCES for back in plan.get(table.name, {}).values()
    )
