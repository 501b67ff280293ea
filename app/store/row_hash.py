"""The hash of a row: eight bytes over its other columns, by which a changed value is noticed.

SQLite's own checks look at how pages hang together; a bit that turned in the middle of a number
leaves that as it was. The hash guards against accidents, not against a forger.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Mapping
from functools import cache
from hashlib import blake2b

from sqlalchemy import Connection

from app.store import schema

COLUMN = "row_hash"
BYTES = 8

Value = None | int | float | str | bytes  # what SQLite holds

_FUNCTION = "hash_of_row"
_ONE_BY_ONE = 500  # up to so many rows are found by their ids


def hash_of_row(*values: Value) -> bytes:
    r"""The hash of a row from all its other columns, the local id too, in declared order.

    The text that is hashed is that of `ascii`: in it 1, 1.0, '1', b'1' and nothing differ, every
    letter outside ASCII is written as its number, and a float with the fewest digits that give it
    back; it is the same in every Python 3.

    >>> hash_of_row(1, 5.6, None).hex()
    'a8792ab2f1f47369'
    """
    return blake2b(ascii(values).encode("ascii"), digest_size=BYTES).digest()


def install(connection: sqlite3.Connection) -> None:
    """Let the SQL of a connection work the hash out, so that writing it is one statement."""
    connection.create_function(_FUNCTION, -1, hash_of_row, deterministic=True)


def rehash(
    connection: Connection,
    touched: Mapping[str, Collection[int]],
    *,
    bulk: Collection[str],
    entries: Collection[int],
    rev: int,
) -> None:
    """Bring the hashes of what a change has written up to date, as its last step.

    Parameters
    ----------
    touched : mapping
        By table, the local ids of rows that were written.
    bulk : collection
        Tables with more of them: there it is every row that names the entry `rev`.
    entries : collection
        Journal entries that were written, with all of their lines; `rev` is always one of them.
    """
    driver = connection.connection.driver_connection  # straight to it: every save runs this
    if not isinstance(driver, sqlite3.Connection):
        raise RuntimeError("the connection to the diary is closed")
    for table in {*touched, *bulk} & _hashed():
        ids = touched.get(table, ())
        if table in bulk or len(ids) > _ONE_BY_ONE:
            driver.execute(f"{_setting(table)} WHERE rev = ?", (rev,))
        else:
            driver.executemany(f"{_setting(table)} WHERE id = ?", [(each,) for each in ids])
    written = [(each,) for each in {rev, *entries}]
    driver.executemany(f"{_setting('journal_entry')} WHERE id = ?", written)
    driver.executemany(f"{_setting('journal_change')} WHERE entry_id = ?", written)


def rehash_rows(connection: sqlite3.Connection, rows: Mapping[str, Collection[int]]) -> None:
    """Bring the hashes of rows up to date that name another entry than the one that is written.

    `rows` are local ids by table; the connection must know the function (`install`).
    """
    for table, ids in rows.items():
        connection.executemany(f"{_setting(table)} WHERE id = ?", [(each,) for each in ids])


def hashed_columns(connection: sqlite3.Connection) -> dict[str, list[str]]:
    """By table that keeps hashes, the columns under them: asked of the file, whatever its version.

    Raises
    ------
    sqlite3.DatabaseError
        The file can't be read.
    """
    tables = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
    found: dict[str, list[str]] = {}
    for (table,) in tables:
        columns = [row[1] for row in connection.execute(f'PRAGMA table_info("{table}")')]
        if COLUMN in columns:
            found[table] = [name for name in columns if name != COLUMN]
    return found


@cache
def _hashed() -> frozenset[str]:
    return frozenset(table.name for table in schema.USER_TABLES)


@cache
def _setting(table: str) -> str:
    columns = (column.name for column in schema.metadata.tables[table].c)
    names = ", ".join(name for name in columns if name != COLUMN)
    return f"UPDATE {table} SET {COLUMN} = {_FUNCTION}({names})"
