"""Taking an import back and bringing it in again: its rows have no lines of their own."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection

from app.store import schema
from app.store.history import Entry, Standing
from app.store.journal import Change
from app.store.links import HANGING, Rows, by_table, counted, put, with_all_that_belongs
from app.store.rows import rows_with, select
from app.store.undo_plan import Plan

# What a row of a file can become.
SOURCES = tuple(table for table in schema.USER_TABLES if "source_key" in table.c)
_BULK = (*SOURCES, *HANGING, schema.import_row)
_AT_ONCE = 500


class EditedSince(Exception):
    """Rows of an import were edited since, and nothing said what becomes of them."""

    def __init__(self, rows: int) -> None:
        self.rows = rows
        super().__init__("rows of the import were edited since")


@dataclass(frozen=True, slots=True)
class ImportRows:
    """What an import brought that is still live; `added` hangs from its rows since."""

    rows: Rows
    added: Rows
    kept: int = 0

    @property
    def all(self) -> Rows:
        """Everything that goes into the bin."""
        whole: Rows = {name: dict(found) for name, found in self.rows.items()}
        for name, found in self.added.items():
            whole.setdefault(name, {}).update(found)
        return whole

    @property
    def count(self) -> int:
        """How many rows of the file these are."""
        return sum(len(self.rows.get(table.name, {})) for table in SOURCES)


def rows_of_import(
    connection: Connection, entry: Entry, plan: Plan, standing: Standing, *, edited: str | None
) -> ImportRows:
    """The live rows of an import that go with it; the plan loses those that stay.

    Raises
    ------
    EditedSince
        Some were edited since, and `edited` says neither "keep" nor "take-too".
    """
    rows = _brought(connection, entry, plan, standing)
    back = {
        table.name: {
            row_id: each.row
            for row_id, each in plan.get(table.name, {}).items()
            if each.row["import_id"] == entry.import_id and each.row["deleted_at"] is None
        }
        for table in SOURCES
    }
    sources: Rows = {
        table.name: {**rows.get(table.name, {}), **back[table.name]} for table in SOURCES
    }
    changed = edited_rows(connection, sources, standing, after=entry.id)
    if counted(changed) and edited is None:
        raise EditedSince(counted(changed))
    for name, found in changed.items():
        for row_id in found:
            if row_id in back[name]:  # what was edited is never written over, kept or not
                rows.setdefault(name, {})[row_id] = plan[name].pop(row_id).row
    if edited == "keep":
        _keep(rows, changed)
        return ImportRows(rows, {}, counted(changed))
    whole = with_all_that_belongs(connection, {name: dict(rows[name]) for name in rows})
    planned = {name: set(backs) for name, backs in plan.items()}
    added = {
        name: {
            row_id: row
            for row_id, row in found.items()
            if row_id not in rows.get(name, {}) and row_id not in planned.get(name, ())
        }
        for name, found in whole.items()
    }
    return ImportRows(rows, added)


def edited_rows(connection: Connection, rows: Rows, standing: Standing, *, after: int) -> Rows:
    """Those of the rows that a standing change after an entry touched, or something that hangs."""
    changed: Rows = {}
    for name, found in rows.items():
        by_uid = {row["uid"]: row for row in found.values()}
        touched = _touched(connection, name, list(by_uid), standing, after)
        for table in HANGING:
            hanging = rows_with(connection, table, "row_uid", by_uid, where=f"tbl = '{name}'")
            owner = {row["uid"]: row["row_uid"] for row in hanging}
            uids = _touched(connection, table.name, list(owner), standing, after)
            touched |= {owner[uid] for uid in uids}
        put(changed, name, (by_uid[uid] for uid in touched))
    return changed


def bin_import(change: Change, found: ImportRows) -> None:
    """Put the rows of an import into the bin as they came; what was added since has its lines."""
    for name, rows in found.rows.items():
        change.move_many(by_table(name), rows.values(), into_bin=True)
    for name, rows in found.added.items():
        change.delete_all(by_table(name), rows.values())


def rows_put_away(connection: Connection, undo: Entry, plan: Plan) -> Rows:
    """The rows without lines that the undo of an import put into the bin, those still there."""
    rows: Rows = {}
    for table in _BULK:
        found = rows_with(connection, table, "rev", [undo.id], where="deleted_at IS NOT NULL")
        planned = plan.get(table.name, {})
        put(rows, table.name, (row for row in found if row["id"] not in planned))
    return rows


def bring_import_back(change: Change, rows: Rows) -> int:
    """Take the rows of an import out of the bin; returns how many rows of the file they are."""
    for name, found in rows.items():
        change.move_many(by_table(name), found.values(), into_bin=False)
    return sum(len(rows.get(table.name, {})) for table in SOURCES)


def _brought(connection: Connection, entry: Entry, plan: Plan, standing: Standing) -> Rows:
    rows: Rows = {}
    family = standing.family(entry.id)
    for table in _BULK:
        hangs = table in HANGING
        column, values = ("born", family) if hangs else ("import_id", [entry.import_id])
        found = rows_with(connection, table, column, values, where="deleted_at IS NULL")
        planned = plan.get(table.name, {})
        put(rows, table.name, (row for row in found if row["id"] not in planned))
    return rows


def _keep(rows: Rows, changed: Rows) -> None:
    for name, found in changed.items():
        uids = {row["uid"] for row in found.values()}
        for row_id in found:
            rows[name].pop(row_id, None)
        for table in HANGING:
            there = rows.get(table.name, {})
            for row_id, row in list(there.items()):
                if row["tbl"] == name and row["row_uid"] in uids:
                    del there[row_id]
    if counted(changed):  # the account of the import stays with the rows that stay
        rows.pop("import_row", None)


def _touched(
    connection: Connection, name: str, uids: list[bytes], standing: Standing, after: int
) -> set[bytes]:
    touched: set[bytes] = set()
    for start in range(0, len(uids), _AT_ONCE):
        part = tuple(uids[start : start + _AT_ONCE])
        lines = select(
            connection,
            "SELECT row_uid, entry_id FROM journal_change WHERE tbl = ? AND entry_id > ?"
            f" AND row_uid IN ({', '.join('?' * len(part))})",
            (name, after, *part),
        )
        touched |= {line["row_uid"] for line in lines if standing.stands(line["entry_id"])}
    return touched
