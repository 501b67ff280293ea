"""One of two copies of a diary as it is read for bringing them together: rows by uid, entries."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from sqlalchemy import Table

from app.store import schema
from app.store.state_hash import target_of
from app.store.whole import in_order

Row = dict[str, Any]  # columns by name; references, born and rev are uids, no local id anywhere

ENTRY = schema.journal_entry.name
_LOCAL = frozenset({"id", "row_hash"})
_AT_ONCE = 500


@dataclass(frozen=True, slots=True, order=True)
class Head:
    """An entry of a journal by what orders it: when (UTC seconds), its uid; and its kind."""

    at: int
    uid: bytes
    kind: str


@dataclass(slots=True)
class Touched:
    """What a side changed of one row since both knew the same: by column the entry that did."""

    columns: dict[str, Head] = field(default_factory=dict)

    @property
    def last(self) -> Head | None:
        """The newest of these entries."""
        return max(self.columns.values(), default=None)


@cache
def columns_of(table: Table) -> tuple[str, ...]:
    """The columns of a table that travel: all but the local id and the hash."""
    return tuple(column.name for column in table.c if column.name not in _LOCAL)


@cache
def references_of(table: Table) -> tuple[tuple[str, str], ...]:
    """The columns that hold local ids, each with the table that these belong to."""
    found = ((column.name, target_of(column)) for column in table.c)
    return tuple((name, target.name) for name, target in found if target is not None)


@cache
def tables() -> tuple[Table, ...]:
    """The user tables in the order to go through: what hangs by a uid after everything else."""
    ordered = in_order()
    return (
        *(table for table in ordered if "row_uid" not in table.c),
        *(table for table in ordered if "row_uid" in table.c),
    )


class Side:
    """Reads one copy through SQLite's own connection, in whatever transaction that is."""

    def __init__(self, driver: sqlite3.Connection) -> None:
        self.driver = driver
        self.entries: dict[bytes, Head] = {}
        self._uids: dict[str, dict[int, bytes]] = {ENTRY: {}}
        for row_id, uid, at, kind in driver.execute("SELECT id, uid, at, kind FROM journal_entry"):
            self.entries[uid] = Head(at, uid, kind)
            self._uids[ENTRY][row_id] = uid

    def uids(self, name: str) -> dict[int, bytes]:
        """The uids of a table's rows by local id."""
        if name not in self._uids:
            self._uids[name] = dict(self.driver.execute(f"SELECT id, uid FROM {name}"))
        return self._uids[name]

    def revs(self, table: Table) -> dict[bytes, bytes]:
        """By uid of a row, the uid of the entry that last changed it."""
        entries = self._uids[ENTRY]
        found = self.driver.execute(f"SELECT uid, rev FROM {table.name}")
        return {uid: entries.get(rev) or self._late(rev) for uid, rev in found}

    def rows(self, table: Table, uids: Iterable[bytes]) -> dict[bytes, Row]:
        """Whole rows by their uids."""
        wanted, found = list(uids), dict[bytes, Row]()
        for start in range(0, len(wanted), _AT_ONCE):
            part = wanted[start : start + _AT_ONCE]
            places = ", ".join("?" * len(part))
            found.update(self._read(table, f"WHERE uid IN ({places})", tuple(part)))
        return found

    def every(self, table: Table, where: str = "TRUE") -> dict[bytes, Row]:
        """All rows of a table, or those for which a condition in SQL holds."""
        return self._read(table, f"WHERE {where}", ())

    def touched(self, unknown: Mapping[bytes, Head]) -> dict[tuple[str, bytes], Touched]:
        """What entries that the other side does not know changed, by table and row.

        A column that is back at what it was before them was not changed.
        """
        steps: dict[tuple[str, bytes], dict[str, tuple[Any, Any, Head]]] = {}
        for entry_id, name, row_uid, op, old, new in self.driver.execute(
            "SELECT entry_id, tbl, row_uid, op, old, new FROM journal_change ORDER BY id"
        ):
            head = unknown.get(self._uids[ENTRY].get(entry_id, b""))
            if head is None or op == "add":
                continue
            row = steps.setdefault((name, row_uid), {})
            for column, (before, after) in _columns_of(op, old, new).items():
                first = row[column][0] if column in row else before
                row[column] = (first, after, head)
        return {
            key: Touched({name: head for name, (old, new, head) in row.items() if old != new})
            for key, row in steps.items()
        }

    def _read(self, table: Table, where: str, values: tuple[Any, ...]) -> dict[bytes, Row]:
        names = columns_of(table)
        query = f"SELECT {', '.join(names)} FROM {table.name} {where}"
        found: dict[bytes, Row] = {}
        for values_found in self.driver.execute(query, values):
            row = dict(zip(names, values_found, strict=True))
            for column, target in references_of(table):
                if row[column] is not None:
                    row[column] = self._uid(target, row[column])
            found[row["uid"]] = row
        return found

    def _uid(self, name: str, row_id: int) -> bytes | None:
        found = self.uids(name).get(row_id)
        return self._late(row_id) if found is None and name == ENTRY else found

    def _late(self, entry_id: int) -> bytes:
        """The uid of an entry that was written since this side was looked at."""
        uid, at, kind = self.driver.execute(
            "SELECT uid, at, kind FROM journal_entry WHERE id = ?", (entry_id,)
        ).fetchone()
        self._uids[ENTRY][entry_id] = uid
        self.entries[uid] = Head(at, uid, kind)
        return bytes(uid)


def _columns_of(op: str, old: str | None, new: str | None) -> dict[str, tuple[Any, Any]]:
    if op != "edit":
        return {"deleted_at": (op == "restore", op == "delete")}
    if old is None or new is None:  # emptied from the bin since
        return {}
    before, after = json.loads(old), json.loads(new)
    return {name: (before.get(name), value) for name, value in after.items()}
