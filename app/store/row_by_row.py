"""Rows read from a file that may be damaged: what can be read, and which rows are known to lack."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass

from app.store.file import is_damage
from app.store.row_hash import COLUMN, Value, hash_of_row

Row = tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Read:
    """One row by its local id: `values`, without the hash, are None where it can't be read.

    `sound` says that the values are those that `kept`, the hash in the row, was made of; in a table
    without hashes, that they could be read and hold no text that is none.
    """

    id: int
    values: Row | None
    kept: Value
    sound: bool


def lenient(connection: sqlite3.Connection) -> None:
    """Let text with bytes that are no UTF-8 be read: it is no error, its hash tells."""
    connection.text_factory = lambda raw: raw.decode("utf-8", "surrogateescape")


def read_rows(
    connection: sqlite3.Connection, table: str, columns: list[str], *, hashed: bool = True
) -> Iterator[Read]:
    """Every row of a table once, those that can't be read too as far as anything tells of them.

    Parameters
    ----------
    connection : sqlite3.Connection
        Made `lenient`.
    columns : list of str
        The table's columns but the hash, in declared order; "id" is the first.
    """
    ids, damaged = set[int](), list[Exception]()
    names = ", ".join(f'"{name}"' for name in (*columns, *([COLUMN] if hashed else [])))
    query = f'SELECT {names} FROM "{table}" NOT INDEXED'
    for values in _until_damage(connection, query, met=damaged):
        each = _read(values, hashed=hashed)
        if each is not None and each.id not in ids:
            ids.add(each.id)
            yield each
    told_of = _told_of(connection, table, columns, ids, entire=not damaged)
    for row_id in sorted(told_of - ids):
        one = _until_damage(connection, f"{query} WHERE id = ?", (row_id,), met=damaged)
        found = next(one, None)
        each = _read(found, hashed=hashed) if found else None
        yield each or Read(row_id, None, None, sound=False)


def indexed_uids(connection: sqlite3.Connection, table: str) -> tuple[dict[bytes, int], bool]:
    """The local ids by uid that the index of uids has, and whether all of it could be read."""
    found: dict[bytes, int] = {}
    index = _index_of_uids(connection, table)
    for order in ("", " DESC") if index else ():  # from both ends, up to the damage
        query = f'SELECT uid, id FROM "{table}" INDEXED BY "{index}" ORDER BY uid{order}'
        try:
            for uid, row_id in connection.execute(query):
                if isinstance(uid, bytes):
                    found[uid] = row_id
            return found, True
        except sqlite3.DatabaseError:
            pass
    return found, False


def _read(values: Row, *, hashed: bool) -> Read | None:
    row_id = values[0]
    if not isinstance(row_id, int):
        return None
    if hashed:
        *rest, kept = values
        return Read(row_id, tuple(rest), kept, sound=hash_of_row(*rest) == kept)
    torn = any(isinstance(each, str) and not _is_text(each) for each in values)
    return Read(row_id, values, None, sound=not torn)


def _is_text(value: str) -> bool:
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True


def _told_of(
    connection: sqlite3.Connection,
    table: str,
    columns: list[str],
    known: set[int],
    *,
    entire: bool,
) -> set[int]:
    """The local ids of all rows: by the index of uids, else every number up to the highest known.

    Rows are never taken out of a diary, so that the numbers have no gaps of their own.
    """
    if "uid" in columns:
        uids, entire = indexed_uids(connection, table)
        known = known | set(uids.values())
    return known if entire else set(range(1, max(known, default=0) + 1))


def _index_of_uids(connection: sqlite3.Connection, table: str) -> str | None:
    try:
        for _, name, unique, _, partial in connection.execute(f'PRAGMA index_list("{table}")'):
            columns = [row[2] for row in connection.execute(f'PRAGMA index_info("{name}")')]
            if unique and not partial and columns == ["uid"]:
                return str(name)
    except sqlite3.DatabaseError:
        pass
    return None


def _until_damage(
    connection: sqlite3.Connection,
    query: str,
    values: tuple[Value, ...] = (),
    *,
    met: list[Exception],
) -> Iterator[Row]:
    """The rows of a query, up to where the file is damaged; that is then in `met`."""
    try:
        yield from connection.execute(query, values)
    except (sqlite3.DatabaseError, UnicodeError) as problem:  # the last: in a message
        if not is_damage(problem):
            raise
        met.append(problem)
