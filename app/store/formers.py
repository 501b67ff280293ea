"""What a reading, its notes and its tags said before each change: kept by the journal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from sqlalchemy import Connection

from app.store import schema
from app.store.diary import Diary
from app.store.history import Entry, entries_with
from app.store.journal import from_json
from app.store.links import HANGING, by_table
from app.store.rows import Row, rows_with, select


@dataclass(frozen=True, slots=True)
class Former:
    """One step of a row: all its columns before and after, the names of those that changed.

    `table` is `reading`, or `note` or `tag_on` for what hangs from it; `op` is what was done to
    that row: add, edit, delete, restore. Beside the columns stand the `keeper` by name, and of a
    tag its `label`.
    """

    entry: Entry
    table: str
    op: str
    before: Mapping[str, Any]
    after: Mapping[str, Any]
    changed: frozenset[str]


def formers_of(diary: Diary, uid: UUID) -> tuple[Former, ...]:
    """What was changed of a reading and what hangs from it, since it was written, oldest first."""
    with diary.reading() as connection:
        rows = _rows_now(connection, uid)
        if not rows:
            return ()
        lines = [
            {**line, "tbl": name}
            for (name, row_uid) in rows
            for line in select(
                connection,
                "SELECT * FROM journal_change WHERE tbl = ? AND row_uid = ?",
                (name, row_uid),
            )
        ]
        lines.sort(key=lambda line: int(line["id"]), reverse=True)
        made = entries_with(connection, {line["entry_id"] for line in lines}, diary.installation)
        names = {row["id"]: row["name"] for row in select(connection, "SELECT * FROM keeper")}
    by_id = {entry.id: entry for entry in made}
    born = next(iter(rows.values()))["born"]
    walked = [_walk(rows, line, by_id[line["entry_id"]], names) for line in lines]
    return tuple(each for each in reversed(walked) if each.entry.id != born)


def _rows_now(connection: Connection, uid: UUID) -> dict[tuple[str, bytes], Row]:
    found = {
        ("reading", row["uid"]): row
        for row in rows_with(connection, schema.reading, "uid", [uid.bytes])
    }
    for table in HANGING if found else ():
        for row in rows_with(connection, table, "row_uid", [uid.bytes], where="tbl = 'reading'"):
            found[table.name, row["uid"]] = row
    labels = {row["id"]: row["label"] for row in select(connection, "SELECT * FROM tag")}
    for (name, _), row in found.items():
        if name == "tag_on":
            row["label"] = labels.get(row["tag_id"])
    return found


def _walk(
    rows: dict[tuple[str, bytes], Row], line: Row, entry: Entry, names: Mapping[int, str]
) -> Former:
    """One line backwards; `rows` are as the line left them, and afterwards as it found them."""
    key = (line["tbl"], line["row_uid"])
    after = rows[key]
    before = {**after, **(from_json(line["old"]) if line["old"] else {})}
    rows[key] = before
    changed = {
        column.name for column in by_table(key[0]).c if before[column.name] != after[column.name]
    }
    for row in (before, after):
        row["keeper"] = names.get(row.get("keeper_id") or 0)
    return Former(entry, line["tbl"], line["op"], before, after, frozenset(changed))
