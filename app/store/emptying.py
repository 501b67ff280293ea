"""Emptying the bin: what rows said is blanked, in them and in the journal; who they were stays."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from sqlalchemy import Connection, Float, Integer, LargeBinary, Table

from app.store.bin import Binned, Key
from app.store.history import ALL_ERASED, BIN_EMPTIED, SOME_ERASED
from app.store.journal import Change
from app.store.links import BESIDE, Rows, by_table, counted, put
from app.store.rows import Row, rows_with, select
from app.store.undo_import import SOURCES

# What says who a row is, not what it says: it keeps an import from bringing the row back.
_KEPT = frozenset({"id", "uid", "born", "rev", "deleted_at", "source_key", "row_hash"})
_KEPT_AS_WELL = frozenset({"tbl", "row_uid", "origin", "unit", "kind", "method"})
# Where a column must hold something that fits the others: none of these is anybody's content.
_NEUTRAL: dict[tuple[str, str], Any] = {
    ("reading", "bound"): "no_value",
    ("reading", "mark"): "none",
    ("reading", "hands"): "unknown",
    ("reading", "standing"): "counted",
    ("reading", "time_state"): "undated",
    ("reading", "time_precision"): "minute",
    ("control_test", "bound"): "no_value",
    ("ketone", "bound"): "no_value",
    ("ketone", "method"): "blood",
    ("event", "kind"): "other",
    ("dose", "amount"): "0",
    ("dose", "unit"): "",
    ("span", "kind"): "own",
    ("care_text", "kind"): "",
    ("person", "zone"): "UTC",
    ("person", "clock"): 24,
    ("person", "date_order"): "dmy",
    ("meter", "zone"): "UTC",
    ("import_batch", "zone"): "UTC",
    ("zone_stretch", "zone"): "UTC",
    ("clock_anchor", "zone"): "UTC",
    ("clock_anchor", "raw_wall"): "",
    ("target_limit", "mark"): "all",
}
# Words of an entry that repeat what a row of a table says.
_REPEATS = {"reading": "reading", "note": "text"}
_AT_ONCE = 500


def empty(change: Change, binned: Binned, keys: Iterable[Key]) -> int:
    """Blank rows of the bin for good; returns how many.

    Of each stay its id, its uid, its source key and its place in the journal, so that bringing the
    same file in again does not bring it back; every old and new value of it in the journal goes.
    """
    rows: Rows = {}
    for name, row_id in keys:
        put(rows, name, [binned.rows[name][row_id]])
    for name, found in rows.items():
        change.blank(by_table(name), found, neutral(by_table(name)))
    forget(change, rows)
    return counted(rows)


def forget(change: Change, rows: Rows) -> None:
    """Take what rows said, given as they were, out of the journal and out of what is to settle."""
    said: dict[int, set[str]] = {}  # by entry the tables of which it tells something that goes
    for name, found in rows.items():
        uids = [row["uid"] for row in found.values()]
        told = _blank_lines(change.connection, name, uids)
        # The undo of an import put rows into the bin without a line for each.
        for entry_id in told | {row["rev"] for row in found.values()}:
            said.setdefault(entry_id, set()).add(name)
        _blank_choices(change, name, uids)
    _blank_words(change, said, set(rows.get("person", {})))


def _blank_choices(change: Change, name: str, uids: list[bytes]) -> None:
    """Blank both versions of what was to settle, or was settled, about these rows."""
    where = f"kind = 'to_settle' AND tbl = '{name}' AND note IS NOT NULL"
    held = rows_with(change.connection, by_table("ruling"), "row_uid", uids, where=where)
    if held:
        change.blank(by_table("ruling"), [row["id"] for row in held], {"note": None})
        # Lines that hold no word of it are counted as told anew too, for their hashes.
        entries = _blank_lines(change.connection, "ruling", [row["uid"] for row in held])
        change.retold.update(entries)


@cache
def neutral(table: Table) -> Mapping[str, Any]:
    """What every column of a table says once its row was emptied."""
    return {
        column.name: _neutral(table, column)
        for column in table.c
        if column.name not in _KEPT
        and not (column.name in _KEPT_AS_WELL and (table.name, column.name) not in _NEUTRAL)
        and not (column.foreign_keys and not column.nullable)
    }


def _neutral(table: Table, column: Any) -> Any:
    if (table.name, column.name) in _NEUTRAL:
        return _NEUTRAL[table.name, column.name]
    if column.nullable:
        return None
    if isinstance(column.type, Integer | Float):
        return 0
    return b"" if isinstance(column.type, LargeBinary) else ""


def _blank_lines(connection: Connection, name: str, uids: list[bytes]) -> set[int]:
    """Blank the old and new values of rows; returns the entries that these lines belong to."""
    entries: set[int] = set()
    for start in range(0, len(uids), _AT_ONCE):
        part = tuple(uids[start : start + _AT_ONCE])
        places = f"tbl = ? AND row_uid IN ({', '.join('?' * len(part))})"
        found = select(
            connection,
            f"SELECT DISTINCT entry_id FROM journal_change WHERE {places}",
            (name, *part),
        )
        entries |= {row["entry_id"] for row in found}
        connection.exec_driver_sql(
            f"UPDATE journal_change SET old = NULL, new = NULL WHERE {places}", (name, *part)
        )
    return entries


def _blank_words(change: Change, said: Mapping[int, set[str]], persons: set[int]) -> None:
    """Take out of the sentences what the emptied rows said; mark the entries as emptied."""
    entry = by_table("journal_entry")
    touched = {row["id"]: row for row in rows_with(change.connection, entry, "id", said)}
    of_persons = rows_with(change.connection, entry, "person_id", persons)
    touched.update({row["id"]: row for row in of_persons if row["id"] != change.entry_id})
    values = []
    for row in touched.values():
        whole = row["person_id"] in persons or not _lives_on(change.connection, row)
        repeated = {_REPEATS[name] for name in said.get(row["id"], ()) if name in _REPEATS}
        words = {
            name: value
            for name, value in json.loads(row["words"]).items()
            if name == "kind" or isinstance(value, int) or not (whole or name in repeated)
        }
        text = json.dumps(words, ensure_ascii=False, separators=(",", ":"))
        values.append((text, ALL_ERASED if whole else SOME_ERASED, row["id"]))
    change.retold.update(touched)
    if values:
        change.connection.exec_driver_sql(
            "UPDATE journal_entry SET words = ?, erased = ? WHERE id = ?", values
        )


def _lives_on(connection: Connection, entry: Row) -> bool:
    """Whether something that an entry is about was not emptied."""
    for table in SOURCES:  # rows of a file have no lines
        came = "rev = ? OR (import_id = ? AND import_id IS NOT NULL)"
        values = (entry["id"], entry["import_id"])
        if select(connection, f"SELECT 1 FROM {table.name} WHERE {came} LIMIT 1", values):
            return True
    lines = select(
        connection, "SELECT DISTINCT tbl FROM journal_change WHERE entry_id = ?", (entry["id"],)
    )
    names = {line["tbl"] for line in lines}
    return any(
        select(
            connection,
            f"SELECT 1 FROM journal_change l JOIN {name} t ON t.uid = l.row_uid"
            f" JOIN journal_entry e ON e.id = t.rev"
            f" WHERE l.entry_id = ? AND l.tbl = ? AND e.kind != '{BIN_EMPTIED}' LIMIT 1",
            (entry["id"], name),
        )
        for name in names - BESIDE or names
    )
