"""The bin: what lies in it and what came with what, taken out again, a person put into it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from sqlalchemy import Connection

from app.domain.person import Person
from app.store import schema
from app.store.diary import Diary
from app.store.history import BIN_EMPTIED, Entry, entries_with
from app.store.journal import Change
from app.store.links import BESIDE, HANGING, Rows, all_of_person, by_table, owners, put
from app.store.restoring import restore_rows
from app.store.rows import Row, rows_with, select

_BINNED = f"""
    SELECT t.* FROM {{}} t JOIN journal_entry e ON e.id = t.rev
    WHERE t.deleted_at IS NOT NULL AND e.kind != '{BIN_EMPTIED}' ORDER BY t.id
"""

Key = tuple[str, int]  # table and local id


@dataclass(frozen=True, slots=True)
class BinItem:
    """One thing in the bin: its row by columns, the change that put it there, what went along.

    `along` counts by table the rows that go with it: the notes and tags of a reading, everything
    of a person. `person_id` is whose it is, None for what is nobody's own.
    """

    table: str
    id: int
    uid: UUID
    row: Mapping[str, Any]
    entry: Entry
    person_id: int | None
    along: Mapping[str, int]

    @property
    def deleted_at(self) -> int:
        """When it was put there, in UTC seconds."""
        return int(self.row["deleted_at"])


@dataclass(frozen=True, slots=True)
class Binned:
    """Everything in the bin in one state of the diary: each row, and the one that it goes with."""

    rows: Rows
    goes_with: dict[Key, Key]
    person_of: dict[Key, int | None]

    def top_of(self, key: Key) -> Key:
        """The row that this one went into the bin with, itself if with none."""
        while key in self.goes_with:
            key = self.goes_with[key]
        return key


def look_into(connection: Connection) -> Binned:
    """Everything in the bin that was not emptied."""
    rows: Rows = {}
    for table in schema.USER_TABLES:
        put(rows, table.name, select(connection, _BINNED.format(table.name)))
    by_uid = {
        (name, row["uid"]): row_id for name, found in rows.items() for row_id, row in found.items()
    }
    goes_with: dict[Key, Key] = {}
    for name, found in rows.items():
        for row_id, row in found.items():
            owner = _owner(rows, by_uid, name, row)
            if owner is not None and rows[owner[0]][owner[1]]["rev"] == row["rev"]:
                goes_with[name, row_id] = owner
    person_of = {
        (name, row_id): _whose(connection, name, row)
        for name, found in rows.items()
        for row_id, row in found.items()
    }
    return Binned(rows, goes_with, person_of)


def bin_items(diary: Diary, person: Person | None = None) -> tuple[BinItem, ...]:
    """What lies in the bin, of one person or of all, what was put there last first."""
    with diary.reading() as connection:
        found = look_into(connection)
        tops: dict[Key, dict[str, int]] = {}
        for name, rows in found.rows.items():
            for row_id in rows:
                along = tops.setdefault(found.top_of((name, row_id)), defaultdict(int))
                if (name, row_id) in found.goes_with:
                    along[name] += 1
        shown = [
            key
            for key in _without_names(found, tops)
            if person is None or found.person_of[key] == person.id
        ]
        revs = {found.rows[name][row_id]["rev"] for name, row_id in shown}
        made = {each.id: each for each in entries_with(connection, revs, diary.installation)}
    items = []
    for name, row_id in shown:
        row = found.rows[name][row_id]
        items.append(
            BinItem(
                table=name,
                id=row_id,
                uid=UUID(bytes=row["uid"]),
                row=row,
                entry=made[row["rev"]],
                person_id=found.person_of[name, row_id],
                along=dict(tops[name, row_id]),
            )
        )
    return tuple(sorted(items, key=lambda item: (-item.entry.id, item.table, item.id)))


def take_out(change: Change, keys: Iterable[Key]) -> int:
    """Take things out of the bin with all that went there with them; returns how many rows.

    Raises
    ------
    KeyError
        One of them is not in the bin.
    NameTaken, OwnerInBin
        It can't come back now; see `restore_rows`.
    """
    found = look_into(change.connection)
    wanted = set(keys)
    for name, row_id in wanted:
        if row_id not in found.rows.get(name, {}):
            raise KeyError(name, row_id)
    out: Rows = {}
    for name, rows in found.rows.items():
        for row_id, row in rows.items():
            if (name, row_id) in wanted or found.top_of((name, row_id)) in wanted:
                put(out, name, [row])
    return restore_rows(change, out)


def bin_person(change: Change, person: Person) -> dict[str, int]:
    """Put a person and everything of theirs into the bin; returns how many rows by table."""
    rows = all_of_person(change.connection, person.id)
    return {name: change.delete_all(by_table(name), found.values()) for name, found in rows.items()}


def _owner(rows: Rows, by_uid: Mapping[tuple[str, bytes], int], name: str, row: Row) -> Key | None:
    """The row in the bin that this one belongs to: the nearest, before the person."""
    if by_table(name) in HANGING:
        found = by_uid.get((row["tbl"], row["row_uid"]))
        return None if found is None else (row["tbl"], found)
    for column, target in owners(name):
        if row[column] is not None and row[column] in rows.get(target.name, {}):
            return target.name, row[column]
    return None


def _whose(connection: Connection, name: str, row: Row) -> int | None:
    """Whose a row is, by itself or by what it belongs to, in the bin or not."""
    if name == "person":
        return int(row["id"])
    if row.get("person_id") is not None:
        return int(row["person_id"])
    if by_table(name) in HANGING:
        above = [(by_table(row["tbl"]), "uid", row["row_uid"])]
    else:
        above = [
            (target, "id", row[column])
            for column, target in owners(name)
            if row[column] is not None
        ]
    for table, column, value in above:
        for owner in rows_with(connection, table, column, [value]):
            return _whose(connection, table.name, owner)
    return None


def _without_names(found: Binned, tops: Mapping[Key, Any]) -> list[Key]:
    """Tags, names and the like are listed only where the change put nothing else into the bin."""
    main = {found.rows[name][row_id]["rev"] for name, row_id in tops if name not in BESIDE}
    return [
        (name, row_id)
        for name, row_id in tops
        if name not in BESIDE or found.rows[name][row_id]["rev"] not in main
    ]
