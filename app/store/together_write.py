"""Rows of two copies written into this one: by uid, with the entries that last changed them."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping

from sqlalchemy import Table

from app.store import schema
from app.store.row_hash import rehash_rows
from app.store.together_names import Names
from app.store.together_sides import ENTRY, Row, columns_of, references_of

_BY_UID = (schema.note, schema.tag_on, schema.import_row, schema.ruling)


class Writer:
    """Writes into one copy, in the transaction of its connection; knows our local ids by uid."""

    def __init__(self, driver: sqlite3.Connection, names: Names) -> None:
        self._driver = driver
        self._names = names
        self._ids: dict[str, dict[bytes, int]] = {}
        self._written: dict[str, set[int]] = {}
        self.retold: set[int] = set()  # entries whose lines name a row by another uid now

    def ids(self, name: str) -> dict[bytes, int]:
        """Our local ids of a table's rows, of copies, of entries, by uid."""
        if name not in self._ids:
            found = self._driver.execute(f"SELECT uid, id FROM {name}")
            self._ids[name] = dict(found.fetchall())
        return self._ids[name]

    def insert(self, table: Table, row: Row) -> int:
        """Add a row that is not there."""
        names = columns_of(table)
        places = ", ".join("?" * len(names))
        made = self._driver.execute(
            f"INSERT INTO {table.name} ({', '.join(names)}) VALUES ({places})",
            tuple(self._in_our_ids(table, row)[name] for name in names),
        )
        row_id = int(made.lastrowid or 0)
        self.ids(table.name)[row["uid"]] = row_id
        self._note(table, row_id)
        return row_id

    def update(self, table: Table, row: Row) -> None:
        """Let a row that is there say this."""
        names = [name for name in columns_of(table) if name != "uid"]
        row_id = self.ids(table.name)[row["uid"]]
        said = self._in_our_ids(table, row)
        places = ", ".join(f"{name} = ?" for name in names)
        self._driver.execute(
            f"UPDATE {table.name} SET {places} WHERE id = ?",
            (*(said[name] for name in names), row_id),
        )
        self._note(table, row_id)

    def make_way(self, table: Table, uids: Iterable[bytes]) -> None:
        """Let rows about to be written hold no key, so that none stands in another's way."""
        key = ", source_key = NULL" if "source_key" in table.c else ""
        ids = self.ids(table.name)
        values = [(ids[uid],) for uid in uids]
        query = f"UPDATE {table.name} SET deleted_at = 1{key} WHERE id = ?"
        self._driver.executemany(query, values)

    def rename(self, table: Table, old: bytes, new: bytes) -> None:
        """Give a row of ours the uid that it is known by from now on, wherever it is named."""
        run = self._driver.execute
        ids = self.ids(table.name)
        ids[new] = row_id = ids.pop(old)
        run(f"UPDATE {table.name} SET uid = ? WHERE id = ?", (new, row_id))
        self._note(table, row_id)
        where, values = "WHERE tbl = ? AND row_uid = ?", (table.name, old)
        told = run(f"SELECT DISTINCT entry_id FROM journal_change {where}", values).fetchall()
        self.retold.update(entry_id for (entry_id,) in told)
        run(f"UPDATE journal_change SET row_uid = ? {where}", (new, *values))
        for each in _BY_UID:
            for column in ("row_uid", "other_uid"):
                if column in each.c:
                    self._point(each, column, "AND tbl = ?", (old, table.name), new)

    def let_stand_for(self, table: Table, gone: bytes, kept: bytes) -> None:
        """Let live rows of ours that name one row name another one instead."""
        ids = self.ids(table.name)
        for each in schema.USER_TABLES:
            for column, target in references_of(each):
                if target == table.name and column not in ("born", "rev"):
                    live = "AND deleted_at IS NULL"
                    self._point(each, column, live, (ids[gone],), ids[kept])

    def put(self, table: Table, uid: bytes, fields: Mapping[str, object]) -> None:
        """Put values into columns of a row of ours."""
        self.over(table, [{"id": self.ids(table.name)[uid]}], fields)

    def move(self, table: Table, uid: bytes, columns: Iterable[str], by: int) -> None:
        """Add to the numbers in columns of a row of ours; where there is none, none comes."""
        places = ", ".join(f"{name} = {name} + {int(by)}" for name in columns)
        row_id = self.ids(table.name)[uid]
        self._driver.execute(f"UPDATE {table.name} SET {places} WHERE id = ?", (row_id,))
        self._note(table, row_id)

    def over(self, table: Table, rows: Iterable[Row], fields: Mapping[str, object]) -> None:
        """Put the same values over rows of ours, given by their local ids."""
        places = ", ".join(f"{name} = ?" for name in fields)
        for row in rows:
            query = f"UPDATE {table.name} SET {places} WHERE id = ?"
            self._driver.execute(query, (*fields.values(), row["id"]))
            self._note(table, row["id"])

    def finish(self) -> None:
        """Bring the hashes of all that was written up to date."""
        rehash_rows(self._driver, self._written)

    def hash_entries(self, entries: Iterable[int]) -> None:
        """Bring the hashes of entries and their lines up to date."""
        wanted = set(entries) | self.retold
        lines = {
            row_id
            for entry in wanted
            for (row_id,) in self._driver.execute(
                "SELECT id FROM journal_change WHERE entry_id = ?", (entry,)
            )
        }
        rehash_rows(self._driver, {ENTRY: wanted, schema.journal_change.name: lines})

    def _point(
        self,
        table: Table,
        column: str,
        where: str,
        values: tuple[bytes | int | str, ...],
        new: object,
    ) -> None:
        found = self._driver.execute(
            f"SELECT id FROM {table.name} WHERE {column} = ? {where}", values
        ).fetchall()
        for (row_id,) in found:
            self._driver.execute(
                f"UPDATE {table.name} SET {column} = ? WHERE id = ?", (new, row_id)
            )
            self._note(table, row_id)

    def _in_our_ids(self, table: Table, row: Row) -> Row:
        said = dict(row)
        for column, target in references_of(table):
            uid = row[column]
            if uid is not None:
                said[column] = self.ids(target).get(uid)
        return said

    def _note(self, table: Table, row_id: int) -> None:
        self._written.setdefault(table.name, set()).add(row_id)
