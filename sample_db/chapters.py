"""What a family wrote into its diary at one sitting, and the writing of it, change by change."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from sqlalchemy import Table, insert, update

from app.store import schema
from app.store.diary import Diary
from app.store.journal import Change
from sample_db.ids import uid_named


@dataclass(frozen=True, slots=True)
class Added:
    """A row to add; a field that holds a UUID refers to the row of that uid."""

    table: Table
    uid: UUID
    fields: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Imported:
    """A row that a file brought: the journal names the import and holds no line for the row."""

    table: Table
    uid: UUID
    fields: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Edited:
    """Fields of a row, written in an earlier chapter, that are known only now."""

    table: Table
    uid: UUID
    fields: Mapping[str, Any]


Row = Added | Imported | Edited


@dataclass(frozen=True, slots=True)
class Chapter:
    """One change of the diary: when (UTC seconds), what sort, whose, by whom, and its rows.

    `batch` is the import that it is, where it is one.
    """

    at: int
    kind: str
    words: Mapping[str, Any]
    person: UUID
    rows: tuple[Row, ...]
    keeper: UUID | None = None
    batch: UUID | None = None


def added(table: Table, uid: UUID, **fields: Any) -> Added:
    """A row to add, with the fields that say something: empty ones are left to the table."""
    return Added(table, uid, {name: held for name, held in fields.items() if held is not None})


def write_chapters(diary: Diary, chapters: Iterable[Chapter]) -> int:
    """Write chapters in order of time, one change for each; returns how many.

    The journal's own ids and the diary's are repeatable here, unlike in a diary that is lived in.

    Raises
    ------
    KeyError
        If a row refers to one that no earlier chapter wrote.
    """
    ids: dict[UUID, int] = {}
    told = sorted(chapters, key=lambda each: each.at)
    for number, chapter in enumerate(told, start=1):
        with diary.change(
            chapter.kind,
            chapter.words,
            now=datetime.fromtimestamp(chapter.at, UTC),
        ) as change:
            if chapter.keeper:
                change.written_by(ids[chapter.keeper])
            for row in chapter.rows:
                _write(change, row, ids)
            change.concerns(ids[chapter.person])
            if chapter.batch:
                change.names_import(ids[chapter.batch], chapter.words)
            _settle_ids(change, number)
    return len(told)


def _write(change: Change, row: Row, ids: dict[UUID, int]) -> None:
    fields = {
        name: ids[held] if isinstance(held, UUID) else held for name, held in row.fields.items()
    }
    match row:
        case Added():
            ids[row.uid] = change.add(row.table, uid=row.uid, **fields)
        case Imported():
            ids[row.uid] = _without_a_line(change, row, fields)
        case Edited():
            change.edit(row.table, ids[row.uid], before=None, **fields)


def _without_a_line(change: Change, row: Imported, fields: Mapping[str, Any]) -> int:
    head = {"uid": row.uid.bytes, "born": change.entry_id, "rev": change.entry_id}
    made = change.connection.execute(insert(row.table), {**head, **fields}).inserted_primary_key
    if made is None:
        raise RuntimeError(f"no id for the new row: table={row.table.name}")
    change.wrote(row.table.name)
    return int(made[0])


def _settle_ids(change: Change, number: int) -> None:
    entry = schema.journal_entry
    change.connection.execute(
        update(entry)
        .where(entry.c.id == change.entry_id)
        .values(uid=uid_named("journal_entry", number).bytes)
    )
    if number == 1:
        change.connection.execute(update(schema.diary).values(uid=uid_named("diary").bytes))
        change.connection.execute(update(schema.copy).values(label="the families' computer"))
