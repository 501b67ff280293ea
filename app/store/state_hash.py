"""One number for what a diary says now, whatever its local ids, its journal and its past."""

from __future__ import annotations

from functools import cache
from hashlib import sha256
from typing import Any

from sqlalchemy import Column, Connection, Select, Table, select

from app.domain.steps import Steps
from app.store import schema
from app.store.diary import Diary

# Local ids, the journal's two ends, the bin's mark and the hash say nothing of their own.
_HEAD = frozenset({"id", "uid", "born", "rev", "deleted_at", "row_hash"})
_OF_A_MOMENT = frozenset({"instant", "day", "minute"})  # they follow from wall and offset_min
_OF_A_VALUE = frozenset({"mg_dl"})  # follows from value and unit
# Columns that hold local ids without a foreign key to say of which table.
_LOOSE = {("import_batch", "meter_id"): schema.meter, ("note", "private_copy"): schema.copy}


def state_hash(diary: Diary) -> str:
    """SHA-256 over the live rows of every user table, as hexadecimal text.

    Two diaries have the same hash where they say the same, however they came to it: rows go by
    their uid, and a reference counts as the uid of what it refers to. Left out are local ids, the
    journal, rows in the bin, and columns that are derived from others.
    """
    with diary.reading() as connection:
        return state_of(connection)


def shared_state_hash(diary: Diary) -> str:
    """The hash without notes that are kept for one copy alone: what two homes have in common."""
    with diary.reading() as connection:
        return state_of(connection, shared_only=True)


def state_of(
    connection: Connection, steps: Steps | None = None, *, shared_only: bool = False
) -> str:
    """The hash of `state_hash`, of what a connection in hand sees; `steps` counts its rows."""
    told = steps or Steps(None, 0)
    digest = sha256()
    for table in sorted(schema.USER_TABLES, key=lambda each: each.name):
        names = [column.name for column in said_by(table)]
        digest.update(f"{(table.name, *names)!a}\n".encode())
        live = _live(table)
        if shared_only and table is schema.note:
            live = live.where(table.c.private_copy.is_(None))
        for row in told.through(connection.execute(live)):
            # In !a, 1 and 1.0, '1' and b'1' differ, line ends and quotes are escaped, and a
            # float has the fewest digits that give it back: the same in every Python 3.
            digest.update(f"{tuple(row)!a}\n".encode())
    return digest.hexdigest()


def said_by(table: Table) -> list[Column[Any]]:
    """The columns of a table that say something of their own, in declared order."""
    derived = _HEAD | (_OF_A_MOMENT if "offset_min" in table.c else frozenset()) | _OF_A_VALUE
    return [column for column in table.c if column.name not in derived]


@cache
def said_rows(table: Table) -> Select[Any]:
    """What each row says, in the bin or not: uid, then `said_by`, references as uids."""
    shown: list[Any] = [table.c.uid]
    source: Any = table
    for column in said_by(table):
        target = target_of(column)
        if target is None:
            shown.append(column)
        else:
            other = target.alias(f"of_{column.name}")
            source = source.outerjoin(other, other.c.id == column)
            shown.append(other.c.uid)
    return select(*shown).select_from(source)


def target_of(column: Column[Any]) -> Table | None:
    """The table that a column's local ids belong to, or None where it holds no ids."""
    for key in column.foreign_keys:
        return key.column.table
    return _LOOSE.get((column.table.name, column.name))


@cache
def _live(table: Table) -> Select[Any]:
    return said_rows(table).where(table.c.deleted_at.is_(None)).order_by(table.c.uid)
