"""The new file of a salvage: rows put in one by one, with their hashes and what they refer to."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping

from app.store.row_by_row import Row
from app.store.row_hash import COLUMN, Value, hash_of_row

# Columns that hold local ids without a foreign key to say of which table.
_LOOSE = {
    ("journal_entry", "keeper_id"): "keeper",
    ("journal_entry", "person_id"): "person",
    ("journal_entry", "import_id"): "import_batch",
    ("import_batch", "meter_id"): "meter",
    ("note", "private_copy"): "copy",
}
_OF_ALEMBIC = "alembic_version"


class NewFile:
    """An empty diary being filled, of whatever version its file has; references are off.

    `columns` of each table without the hash, `refers` says of which table a column holds local ids,
    `ids` has the local ids by uid, `taken` all of them.
    """

    def __init__(self, connection: sqlite3.Connection) -> None:
        self.connection = connection
        self.columns: dict[str, list[str]] = {}
        self.hashed: set[str] = set()  # the tables that keep hashes
        self.own: set[str] = set()  # those of the person's own rows: all of them, since version 2
        self.refers: dict[str, dict[str, str]] = {}
        self.ids: dict[str, dict[bytes, int]] = {}
        self.taken: dict[str, set[int]] = {}
        self._real: dict[str, set[str]] = {}
        self._defaults: dict[str, dict[str, Value]] = {}
        for (table,) in connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY rowid"
        ).fetchall():
            if table != _OF_ALEMBIC:
                self._learn(table)

    def put(self, table: str, values: Row) -> bool:
        """Put a row in with its hash; False where the file refuses it."""
        values = self.as_stored(table, values)
        more = (hash_of_row(*values),) if table in self.hashed else ()
        names = ", ".join([*self.columns[table], *([COLUMN] if more else [])])
        places = ", ".join("?" * (len(values) + len(more)))
        try:
            self.connection.execute(
                f"INSERT INTO {table} ({names}) VALUES ({places})", (*values, *more)
            )
        except (sqlite3.Error, OverflowError, UnicodeEncodeError):
            return False
        self._know(table, values)
        return True

    def replace(self, table: str, values: Row) -> None:
        """Write a row that is there anew."""
        self.remove(table, self.named(table, values)["id"])
        if not self.put(table, values):
            raise sqlite3.IntegrityError(f"a row that was taken is refused: table={table}")

    def remove(self, table: str, row_id: Value) -> Row | None:
        """Take a row out again; returns what it was."""
        row = self.row(table, row_id)
        if row is not None and isinstance(row_id, int):
            self.connection.execute(f"DELETE FROM {table} WHERE id = ?", (row_id,))
            self.taken[table].discard(row_id)
            uid = self.named(table, row).get("uid")
            if isinstance(uid, bytes):
                self.ids[table].pop(uid, None)
        return row

    def row(self, table: str, row_id: Value) -> Row | None:
        """A row without its hash, None where it is not there."""
        names = ", ".join(self.columns[table])
        found = self.connection.execute(f"SELECT {names} FROM {table} WHERE id = ?", (row_id,))
        row: Row | None = found.fetchone()
        return row

    def named(self, table: str, values: Row) -> dict[str, Value]:
        """The values of a row by the names of their columns."""
        return dict(zip(self.columns[table], values, strict=True))

    def filled(self, table: str, fields: Mapping[str, Value]) -> Row:
        """A row from some of its fields, the others as the table gives them."""
        return tuple({**self._defaults[table], **fields}[name] for name in self.columns[table])

    def as_stored(self, table: str, values: Row) -> Row:
        """Values as the file will give them back: the hash is made of those."""
        real = self._real[table]
        return tuple(
            float(value) if isinstance(value, int) and name in real else _plain(value)
            for name, value in zip(self.columns[table], values, strict=True)
        )

    def free_id(self, table: str, wanted: int) -> int:
        """The local id wanted, or the next one where it is taken."""
        taken = self.taken[table]
        return wanted if wanted not in taken else max(taken) + 1

    def _learn(self, table: str) -> None:
        run = self.connection.execute
        columns = run(f"PRAGMA table_info({table})").fetchall()
        self.columns[table] = [each[1] for each in columns if each[1] != COLUMN]
        if len(self.columns[table]) < len(columns):
            self.hashed.add(table)
        if "born" in self.columns[table]:
            self.own.add(table)
        self._real[table] = {each[1] for each in columns if each[2] == "FLOAT"}
        self._defaults[table] = {
            each[1]: run(f"SELECT {each[4] or 'NULL'}").fetchone()[0] for each in columns
        }
        keys = run(f"PRAGMA foreign_key_list({table})").fetchall()
        self.refers[table] = {each[3]: each[2] for each in keys} | {
            column: target for (of, column), target in _LOOSE.items() if of == table
        }
        self.ids[table], self.taken[table] = {}, set()
        for row in run(f"SELECT {', '.join(self.columns[table])} FROM {table}"):
            self._know(table, row)

    def _know(self, table: str, values: Row) -> None:
        fields = self.named(table, values)
        row_id, uid = fields["id"], fields.get("uid")
        if isinstance(row_id, int):
            self.taken[table].add(row_id)
            if isinstance(uid, bytes):
                self.ids[table][uid] = row_id


def _plain(value: Value) -> Value:
    return int(value) if isinstance(value, bool) else value
