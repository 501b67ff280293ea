"""Taking back a change: its journal entry walked backwards, as an entry of its own."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, RowMapping, select, update

from app.domain.person import Person
from app.store import schema
from app.store.diary import Diary
from app.store.journal import Change, from_json

UNDO = "undo"
IMPORT = "import"
IMPORTED_TABLES = (schema.reading, schema.dose, schema.event)

_TABLES = {table.name: table for table in schema.USER_TABLES}


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of the journal: what was done, when, and what its sentence is filled with."""

    id: int
    kind: str
    words: dict[str, Any]
    at: int


def last_entry(diary: Diary, person: Person | None) -> Entry | None:
    """The newest change of this copy that stands: neither taken back nor a taking back.

    With a person, of that person's changes alone.
    """
    entry, copy = schema.journal_entry, schema.copy
    undone = select(entry.c.undoes).where(entry.c.undoes.is_not(None))
    query = (
        select(entry)
        .join(copy, copy.c.id == entry.c.copy_id)
        .where(
            copy.c.uid == diary.installation.bytes, entry.c.kind != UNDO, entry.c.id.not_in(undone)
        )
        .order_by(entry.c.no.desc())
        .limit(1)
    )
    if person is not None:
        query = query.where(entry.c.person_id == person.id)
    with diary.reading() as connection:
        row = connection.execute(query).mappings().one_or_none()
    return None if row is None else _entry(row)


def take_back(diary: Diary, entry: Entry, *, now: datetime, person: Person | None) -> int:
    """Take one entry back; returns how many rows that touched, of an import those of the file."""
    words = {"kind": entry.kind, **entry.words}
    with diary.change(UNDO, words, now=now, person=person, undoes=entry.id) as change:
        touched = _walk_back(change, entry)
        return _bin_imported(change, entry) if entry.kind == IMPORT else touched


def _walk_back(change: Change, entry: Entry) -> int:
    lines = schema.journal_change
    found = change.connection.execute(
        select(lines).where(lines.c.entry_id == entry.id).order_by(lines.c.id.desc())
    ).mappings()
    touched = 0
    for line in found.all():
        table = _TABLES[line["tbl"]]
        row_id = change.connection.exec_driver_sql(
            f"SELECT id FROM {table.name} WHERE uid = ?", (line["row_uid"],)
        ).scalar_one()
        if line["op"] in ("add", "restore"):
            change.delete(table, row_id)
        elif line["op"] == "delete":
            change.restore(table, row_id)
        else:
            change.edit(table, row_id, **from_json(line["old"]))
        touched += 1
    return touched


def _bin_imported(change: Change, entry: Entry) -> int:
    """Put the rows of an import into the bin; they have no journal lines of their own."""
    import_id = _import_of(change.connection, entry.id)
    touched = 0
    for table in (schema.note, schema.tag_on):  # what came with the rows goes with them
        change.connection.execute(
            update(table)
            .where(table.c.born == entry.id, table.c.deleted_at.is_(None))
            .values(deleted_at=change.at, rev=change.entry_id)
        )
    for table in IMPORTED_TABLES:
        touched += change.connection.execute(
            update(table)
            .where(table.c.import_id == import_id, table.c.deleted_at.is_(None))
            .values(deleted_at=change.at, rev=change.entry_id)
        ).rowcount
    return touched


def _import_of(connection: Connection, entry_id: int) -> int:
    entry = schema.journal_entry
    return int(
        connection.execute(select(entry.c.import_id).where(entry.c.id == entry_id)).scalar_one()
    )


def _entry(row: RowMapping) -> Entry:
    return Entry(row["id"], row["kind"], json.loads(row["words"]), row["at"])
