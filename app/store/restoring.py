"""Rows taken out of the bin with what they need: what they name comes along, or its live twin."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, Table

from app.store.history import BIN_EMPTIED
from app.store.journal import Change
from app.store.links import BESIDE, Rows, belongs, by_table, counted, missing_targets, put
from app.store.rows import Row, rows_with, select

# By these a row that is merely named is known again, where somebody wrote it anew meanwhile.
_TWINS = {
    "tag": ("person_id", "label"),
    "keeper": ("name",),
    "place": ("name",),
    "recipe": ("name",),
    "meter": ("person_id", "name"),
}


class NameTaken(Exception):
    """A person can't come back while another one has the name."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__("the name of a person is taken")


class OwnerInBin(Exception):
    """What a row belongs to is itself in the bin; `entry_id` is the change that put it there."""

    def __init__(self, table: str, row: Row) -> None:
        self.table, self.row, self.entry_id = table, row, int(row["rev"])
        super().__init__("a row can't come back without what it belongs to")


def restore_rows(change: Change, rows: Rows) -> int:
    """Take rows out of the bin, what they name too; returns how many came out.

    Raises
    ------
    NameTaken
        A person of that name was added meanwhile.
    OwnerInBin
        What one of them belongs to stays in the bin.
    """
    wanted = {
        name: {
            row_id: row
            for row_id, row in found.items()
            if name not in BESIDE or twin_of(change.connection, by_table(name), row) is None
        }
        for name, found in rows.items()
    }
    _names_must_be_free(change.connection, wanted)
    for name, found in wanted.items():
        change.restore_all(by_table(name), found.values())
    return counted(wanted) + settle_targets(change, wanted)


def settle_targets(change: Change, rows: Rows) -> int:
    """See that nothing which live rows refer to is in the bin; returns how many came out of it."""
    brought = 0
    newest = rows
    while any(newest.values()):
        along: Rows = {}
        live = {name: found.values() for name, found in newest.items()}
        for name, column, row, target, binned in missing_targets(change.connection, live):
            if belongs(by_table(name), column):
                raise OwnerInBin(target.name, binned)
            found = twin_of(change.connection, target, binned)
            if found is not None:
                change.edit_all(by_table(name), [(row, {column: found})])
            elif not is_emptied(change.connection, binned):
                put(along, target.name, [binned])
            elif by_table(name).c[column].nullable:
                change.edit_all(by_table(name), [(row, {column: None})])
        for name, found_rows in along.items():
            change.restore_all(by_table(name), found_rows.values())
        brought += counted(along)
        newest = along
    return brought


def twin_of(connection: Connection, table: Table, row: Row) -> int | None:
    """The local id of the live row that says the same thing as this one in the bin, if any."""
    columns = _TWINS.get(table.name)
    if columns is None:
        return None
    same = " AND ".join(f"{column} IS ?" for column in columns)
    found = select(
        connection,
        f"SELECT id FROM {table.name} WHERE {same} AND deleted_at IS NULL AND id != ? ORDER BY id",
        (*(row[column] for column in columns), row["id"]),
    )
    return int(found[0]["id"]) if found else None


def is_emptied(connection: Connection, row: Row) -> bool:
    """Whether the content of a row was blanked when the bin was emptied."""
    found = select(connection, "SELECT kind FROM journal_entry WHERE id = ?", (row["rev"],))
    return bool(found[0]["kind"] == BIN_EMPTIED)


def _names_must_be_free(connection: Connection, rows: Rows) -> None:
    person: Any = by_table("person")
    for row in rows.get("person", {}).values():
        taken = rows_with(
            connection, person, "lower(name)", [_lower(row["name"])], where="deleted_at IS NULL"
        )
        if any(other["id"] != row["id"] for other in taken):
            raise NameTaken(row["name"])


def _lower(name: str) -> str:
    """As SQLite's lower() has it: the letters A to Z alone."""
    return "".join(char.lower() if char.isascii() else char for char in name)
