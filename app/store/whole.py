"""A whole diary as plain rows that know each other by uid: what it says, without its journal."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from graphlib import TopologicalSorter

from sqlalchemy import Connection, Table, select

from app.domain.steps import Step, Steps
from app.store import schema
from app.store.diary import Diary
from app.store.file import SCHEMA_VERSION
from app.store.rows import rows_with
from app.store.state_hash import said_by, said_rows, state_of, target_of

Value = int | float | str | bytes
Row = tuple[str, dict[str, Value]]  # the table's name, and what the row says; unknowns are left out

COPY = schema.copy.name
IN_BIN = "in_bin"  # a row in the bin that comes along since a live one refers to it

_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Whole:
    """One whole state of a diary: its schema, how many rows by table, who is in it."""

    version: int
    rows: dict[str, int]
    persons: tuple[str, ...]
    _connection: Connection
    _binned: dict[str, set[int]]
    _steps: Steps

    def state(self) -> str:
        """Its state hash."""
        return state_of(self._connection, self._steps)

    def each(self) -> Iterator[Row]:
        """Every row, those first that others refer to; `uid` and references are hexadecimal."""
        yield from self._steps.through(_copies(self._connection))
        for table in in_order():
            rows = _of(self._connection, table, self._binned[table.name])
            for shown in self._steps.through(rows):
                yield table.name, shown


@contextmanager
def whole(diary: Diary, step: Step | None = None) -> Iterator[Whole]:
    """Look at one whole state of a diary; its rows are read while the block lasts.

    Live rows leave, and those in the bin that a live one refers to.

    Parameters
    ----------
    step : callable, optional
        Told how far hashing and reading have come: each row counts once for each.
    """
    with diary.reading() as connection:
        binned = _binned_with_users(connection)
        counts = {COPY: sum(1 for _ in _copies(connection))}
        for table in in_order():
            live = select(table.c.id).where(table.c.deleted_at.is_(None))
            counts[table.name] = len(connection.execute(live).all()) + len(binned[table.name])
        names = select(schema.person.c.name).where(schema.person.c.deleted_at.is_(None))
        yield Whole(
            version=SCHEMA_VERSION,
            rows={name: count for name, count in counts.items() if count},
            persons=tuple(connection.execute(names.order_by(schema.person.c.id)).scalars()),
            _connection=connection,
            _binned=binned,
            _steps=Steps(step, 2 * sum(counts.values())),
        )


@cache
def in_order() -> tuple[Table, ...]:
    """The user tables, each after those that it refers to."""
    graph: TopologicalSorter[str] = TopologicalSorter()
    known = {table.name: table for table in schema.USER_TABLES}
    for name in sorted(known):
        targets = {target_of(column) for column in said_by(known[name])}
        others = {target.name for target in targets if target is not None}
        graph.add(name, *sorted(others & (known.keys() - {name})))
    return tuple(known[name] for name in graph.static_order())


def _of(connection: Connection, table: Table, binned: set[int]) -> Iterator[dict[str, Value]]:
    """The rows of a table as they were added, which is how tags and notes are shown.

    Those of the bin come first, so that a live one of the same name comes after.
    """
    ids = sorted(binned)
    for start in range(0, len(ids), _AT_ONCE):
        part = said_rows(table).where(table.c.id.in_(ids[start : start + _AT_ONCE]))
        for row in connection.execute(part.order_by(table.c.id)):
            yield {**_shown(table, tuple(row)), IN_BIN: 1}
    live = said_rows(table).where(table.c.deleted_at.is_(None)).order_by(table.c.id)
    for row in connection.execute(live):
        yield _shown(table, tuple(row))


def _shown(table: Table, values: tuple[Value | None, ...]) -> dict[str, Value]:
    uid, *rest = values
    said: dict[str, Value] = {"uid": _hex(uid)}
    for column, value in zip(said_by(table), rest, strict=True):
        if value is not None:
            said[column.name] = value if target_of(column) is None else _hex(value)
    return said


def _hex(uid: Value | None) -> str:
    if not isinstance(uid, bytes):
        raise TypeError(f"a uid is bytes, not {type(uid).__name__}")
    return uid.hex()


def _copies(connection: Connection) -> Iterator[Row]:
    """The copies of the diary that live notes name as the only ones to show them."""
    note, copy = schema.note, schema.copy
    query = (
        select(copy.c.uid, copy.c.label)
        .where(copy.c.id.in_(select(note.c.private_copy).where(note.c.deleted_at.is_(None))))
        .order_by(copy.c.uid)
    )
    for uid, label in connection.execute(query):
        yield COPY, {"uid": uid.hex(), "label": label}


def _binned_with_users(connection: Connection) -> dict[str, set[int]]:
    """By table, the local ids of rows in the bin that live rows refer to, straight or in steps."""
    found: dict[str, set[int]] = {table.name: set() for table in schema.USER_TABLES}
    for table in reversed(in_order()):
        for column in said_by(table):
            target = target_of(column)
            if target is None or target.name not in found:
                continue
            used = select(column).where(table.c.deleted_at.is_(None), column.is_not(None))
            gone = select(target.c.id).where(target.c.deleted_at.is_not(None))
            met = gone.where(target.c.id.in_(used))
            found[target.name].update(connection.execute(met).scalars())
            along = rows_with(connection, table, "id", found[table.name])
            ids = [row[column.name] for row in along if row[column.name] is not None]
            rows = rows_with(connection, target, "id", ids, where="deleted_at IS NOT NULL")
            found[target.name].update(int(row["id"]) for row in rows)
    return found
