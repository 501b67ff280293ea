"""What two copies changed in two ways: kept with both versions until a person settles it.

Each is a `ruling` of its own kind, so that it travels, is undone and is checked like every row. Its
uid follows from what it is about: two copies that find the same write the same.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from hashlib import blake2b
from typing import Any
from uuid import UUID

from sqlalchemy import Connection

from app.domain.errors import Refused
from app.store import schema
from app.store.amend import into_the_bin
from app.store.diary import Diary
from app.store.history import Entry, entries_with
from app.store.journal import Change, from_json, to_json
from app.store.links import by_table, with_all_that_belongs
from app.store.rows import Row, rows_with, select
from app.store.state_hash import target_of
from app.store.together_row import DELETED, OPEN, SETTLE, Conflict

SETTLED = "settled"  # kind of the entry that settles one
_KEPT = "kept "  # a verdict begins so, then the entry whose version was kept
_OPEN = f"""
    SELECT * FROM ruling WHERE kind = '{SETTLE}' AND verdict = '{OPEN}' AND deleted_at IS NULL
    AND note IS NOT NULL ORDER BY uid
"""


@dataclass(frozen=True, slots=True)
class Version:
    """One of two versions: the entry that made it (None where it is unknown here), what it says.

    `values` are the columns with our local ids; `deleted` says that this one put the row away.
    `is_shown` marks the version that the diary shows now.
    """

    key: str
    at: int
    entry: Entry | None
    values: dict[str, Any]
    deleted: bool
    is_shown: bool


@dataclass(frozen=True, slots=True)
class ToSettle:
    """One row and one field of it that two copies changed in two ways; the older version first."""

    id: int
    uid: UUID
    table: str
    row: Row
    field: str
    versions: tuple[Version, Version]

    @property
    def shown(self) -> Version:
        """The version that stands in the diary now."""
        return next((each for each in self.versions if each.is_shown), self.versions[1])

    @property
    def other(self) -> Version:
        """The version that does not."""
        return next(each for each in self.versions if each is not self.shown)


def keep_to_settle(change: Change, conflicts: Iterable[tuple[str, bytes, Conflict]]) -> int:
    """Keep what both copies changed in two ways; returns how many were not kept before."""
    made = 0
    for name, row_uid, conflict in conflicts:
        sides = [
            {
                "entry": head.uid.hex(),
                "at": head.at,
                "values": {
                    column: {"hex": value.hex()} if isinstance(value, bytes) else value
                    for column, value in said.items()
                },
            }
            for head, said in conflict.sides
        ]
        told = json.dumps([name, row_uid.hex(), conflict.field, [each["entry"] for each in sides]])
        uid = blake2b(told.encode("ascii"), digest_size=16).digest()
        if not rows_with(change.connection, schema.ruling, "uid", [uid]):
            change.add(
                schema.ruling,
                uid=UUID(bytes=uid),
                kind=SETTLE,
                tbl=name,
                row_uid=row_uid,
                verdict=OPEN,
                note=to_json({"field": conflict.field, "sides": sides}),
            )
            made += 1
    return made


def to_settle(diary: Diary) -> tuple[ToSettle, ...]:
    """What is to settle, in an order that stays."""
    with diary.reading() as connection:
        return _open(connection, diary.installation)


def settle(
    diary: Diary,
    item: ToSettle,
    version: Version,
    words: dict[str, Any],
    *,
    now: datetime,
    person_id: int | None = None,
) -> int:
    """Keep one of two versions; one change, which undo takes back. Returns the id of its entry.

    Raises
    ------
    Refused
        It was settled meanwhile; nothing was changed.
    """
    with diary.change(SETTLED, words, now=now) as change:
        if person_id is not None:
            change.concerns(person_id)
        there = {each.uid: each for each in _open(change.connection, diary.installation)}
        found = there.get(item.uid)
        if found is None:
            raise Refused("This was settled already. Nothing was changed.")
        table = by_table(found.table)
        if version.deleted and table is schema.reading:
            into_the_bin(change, [found.row])
        elif version.deleted:
            along = with_all_that_belongs(
                change.connection, {table.name: {found.row["id"]: found.row}}
            )
            for name, rows in along.items():
                change.delete_all(by_table(name), rows.values())
        elif version.values:
            change.edit_all(table, [(found.row, version.values)])
        change.edit(schema.ruling, found.id, verdict=f"{_KEPT}{version.key}")
    return change.entry_id


def _open(connection: Connection, installation: UUID) -> tuple[ToSettle, ...]:
    found: list[ToSettle] = []
    for ruling in select(connection, _OPEN):
        rows = rows_with(
            connection,
            by_table(ruling["tbl"]),
            "uid",
            [ruling["row_uid"]],
            where="deleted_at IS NULL",
        )
        if rows:  # else it was deleted since, and there is nothing to settle
            note = json.loads(ruling["note"])
            first, second = (
                _version(connection, ruling["tbl"], rows[0], side, installation)
                for side in note["sides"]
            )
            if not (first.is_shown or second.is_shown):  # the field was written anew since
                continue
            found.append(
                ToSettle(
                    ruling["id"],
                    UUID(bytes=ruling["uid"]),
                    ruling["tbl"],
                    rows[0],
                    note["field"],
                    (first, second),
                )
            )
    return tuple(sorted(found, key=lambda each: (each.table, each.versions[0].at, each.uid)))


def _version(
    connection: Connection, name: str, row: Row, side: dict[str, Any], installation: UUID
) -> Version:
    said = from_json(json.dumps(side["values"]))
    deleted = bool(said.pop(DELETED, 0))
    is_of_row = DELETED in side["values"]
    columns = by_table(name).c
    for column, value in said.items():
        target = target_of(columns[column])
        if target is not None and value is not None:
            there = rows_with(connection, target, "uid", [value])
            said[column] = there[0]["id"] if there else None
    shown = not deleted if is_of_row else all(row[key] == value for key, value in said.items())
    uid = bytes.fromhex(side["entry"])
    entry = rows_with(connection, schema.journal_entry, "uid", [uid])
    made = entries_with(connection, [entry[0]["id"]], installation) if entry else ()
    return Version(side["entry"], side["at"], made[0] if made else None, said, deleted, shown)
