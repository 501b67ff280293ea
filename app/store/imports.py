"""Rows of a file written in bulk: known again by their keys, counted in a batch."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, select

from app.domain.errors import Problem
from app.domain.person import Person
from app.store import schema
from app.store.diary import Diary
from app.store.journal import Change
from app.store.rows import rows_with

MOMENT = ("instant", "wall", "zone", "offset_min", "day", "minute")
STAMP = ("raw_wall", "raw_value", "raw_unit", "raw_code")
SOURCE = ("person_id", "origin", "import_id", "line", "source_key", "keeper_id", "entered_at")
READING = (
    *("bound", "value", "unit", "mg_dl"),
    *MOMENT,
    *STAMP,
    *SOURCE,
    *("time_from", "time_state", "time_precision", "mark", "mark_from", "after_min"),
    *("site", "site_detail", "hands", "standing", "standing_why", "meter_id", "memory_order"),
    "odd_ok",
)
DOSE = ("what", "kind", "amount", "amount_num", "unit", *MOMENT, *STAMP, *SOURCE)
EVENT = ("kind", "level", "text", *MOMENT, *STAMP, *SOURCE)
CONTROL = ("meter_id", "level", "bound", "value", "unit", *MOMENT, *STAMP, *SOURCE)

# Rows that an undone import put into the bin: the same file brings them back.
_UNDONE = """
    SELECT r.source_key, r.id, r.uid FROM {table} AS r
    JOIN journal_entry AS u ON u.id = r.rev
    JOIN journal_entry AS i ON i.id = u.undoes
    WHERE r.person_id = ? AND r.deleted_at IS NOT NULL
      AND u.kind = 'undo' AND i.kind = 'import'
"""

_COPY = """
    SELECT b.new + b.already, b.refused, b.held,
        (SELECT count(*) FROM import_row r WHERE r.import_id = b.id AND r.deleted_at IS NULL)
    FROM import_batch b JOIN meter m ON m.id = b.meter_id
    WHERE b.deleted_at IS NULL AND m.deleted_at IS NULL AND m.name = ? AND b.sha = ?
    ORDER BY b.at DESC, b.id DESC LIMIT 1
"""


@dataclass(frozen=True, slots=True)
class Known:
    """What a table holds of a person already: keys that are taken, rows that can come back."""

    taken: dict[bytes, bytes]  # key -> uid
    back: dict[bytes, tuple[int, bytes]]  # key -> local id, uid
    back_by_uid: dict[bytes, int]  # uid -> local id, those without a key too


def known(connection: Connection, table: str, person: Person) -> Known:
    """The source keys of a person's rows in one table, those in the bin too."""
    keys = connection.exec_driver_sql(
        f"SELECT source_key, uid FROM {table} WHERE person_id = ? AND source_key IS NOT NULL",
        (person.id,),
    )
    undone = connection.exec_driver_sql(_UNDONE.format(table=table), (person.id,)).all()
    back = {key: (row_id, uid) for key, row_id, uid in undone if key is not None}
    return Known(
        taken={key: uid for key, uid in keys if key not in back},
        back=back,
        back_by_uid={uid: row_id for _, row_id, uid in undone},
    )


def keys_of(diary: Diary, person: Person) -> dict[UUID, bytes]:
    """By uid, the source keys of the person's live readings that came from a file."""
    with diary.reading() as connection:
        found = connection.exec_driver_sql(
            "SELECT uid, source_key FROM reading"
            " WHERE person_id = ? AND source_key IS NOT NULL AND deleted_at IS NULL",
            (person.id,),
        )
        return {UUID(bytes=uid): key for uid, key in found}


def kept_recipes(diary: Diary) -> list[tuple[str, str]]:
    """Name and TOML text of every recipe that was ever kept."""
    with diary.reading() as connection:
        found = connection.exec_driver_sql("SELECT name, spec FROM recipe ORDER BY id").all()
        return [(name, spec) for name, spec in found]


def held_under(connection: Connection, uids: Iterable[UUID]) -> dict[UUID, tuple[Any, ...]]:
    """Of readings that the diary has under these uids: person, value, unit, bound and wall time."""
    table = schema.reading
    columns = (table.c.uid, table.c.person_id, table.c.value, table.c.unit, table.c.bound)
    wanted = [uid.bytes for uid in uids]
    found: dict[UUID, tuple[Any, ...]] = {}
    for start in range(0, len(wanted), 500):
        rows = connection.execute(
            select(*columns, table.c.wall).where(table.c.uid.in_(wanted[start : start + 500]))
        )
        found.update({UUID(bytes=uid): tuple(rest) for uid, *rest in rows})
    return found


def insert_rows(
    change: Change, table: str, columns: Sequence[str], rows: Sequence[tuple[Any, ...]]
) -> None:
    """Insert rows, each beginning with its uid; they are their own new values in the journal."""
    if not rows:
        return
    places = ", ".join("?" * len(columns))
    change.connection.exec_driver_sql(
        f"INSERT INTO {table} (uid, born, rev, {', '.join(columns)})"
        f" VALUES (?, {change.entry_id}, {change.entry_id}, {places})",
        list(rows),
    )
    change.wrote(table)


def bring_back(
    change: Change, table: str, columns: Sequence[str], rows: Sequence[tuple[Any, ...]]
) -> None:
    """Take rows out of the bin with what the file says now; each ends with its local id.

    What they said in the bin, and of which import they were, is kept in the journal.
    """
    whole = schema.metadata.tables[table]
    said = {values[-1]: dict(zip(columns, values[:-1], strict=True)) for values in rows}
    there = {row["id"]: row for row in rows_with(change.connection, whole, "id", said)}
    for row_id, fields in said.items():
        fields["born"] = change.entry_id  # they count as new, not as amended
        if fields["source_key"] is None:  # our own export names no key; the row keeps its own
            fields["source_key"] = there[row_id]["source_key"]
    change.edit_all(whole, [(there[row_id], fields) for row_id, fields in said.items()])
    change.restore_all(whole, there.values())


def new_uids(count: int) -> list[bytes]:
    """Random UUIDs (version 4) as bytes, drawn in one go."""
    drawn = bytearray(os.urandom(16 * count))
    for start in range(0, len(drawn), 16):
        drawn[start + 6] = drawn[start + 6] & 0x0F | 0x40
        drawn[start + 8] = drawn[start + 8] & 0x3F | 0x80
    return [bytes(drawn[start : start + 16]) for start in range(0, len(drawn), 16)]


def write_batch(change: Change, person: Person, **facts: Any) -> int:
    """Write the batch of an import; returns its local id."""
    return change.add(schema.import_batch, person_id=person.id, at=change.at, **facts)


def write_account(
    change: Change, import_id: int, refused: Sequence[Problem], held: Sequence[Problem]
) -> None:
    """Keep the rows that were not taken, with their text and the reason."""
    rows = [
        (uid, import_id, problem.line, problem.text, verdict, problem.why)
        for verdict, problems in (("refused", refused), ("held", held))
        for uid, problem in zip(new_uids(len(problems)), problems, strict=True)
    ]
    columns = ("import_id", "line", "text", "verdict", "reason")
    insert_rows(change, "import_row", columns, rows)


def write_records(
    change: Change, import_id: int, records: Sequence[tuple[int, str, str, bytes]]
) -> None:
    """Keep where each record of a copied memory went: line, verdict, table, uid of its row.

    What it said stands in that row and nowhere else, so that emptying the bin blanks it.
    """
    rows = [
        (uid, import_id, line, "", verdict, table, row_uid)
        for uid, (line, verdict, table, row_uid) in zip(
            new_uids(len(records)), records, strict=True
        )
    ]
    insert_rows(
        change, "import_row", ("import_id", "line", "text", "verdict", "tbl", "row_uid"), rows
    )


def has_copy(
    connection: Connection, meter: str, sha: bytes, *, there: int, refused: int, held: int
) -> bool:
    """Whether these very bytes were taken as a copy of a meter's memory with the same outcome.

    `there` counts the rows that the diary has.
    """
    found = connection.exec_driver_sql(_COPY, (meter, sha)).first()
    return found is not None and tuple(found) == (there, refused, held, there + refused + held)


def keep_recipe(change: Change, name: str, spec: str, signature: str | None) -> int:
    """Keep a recipe under its name, in place of an older one of that name; returns its id.

    `signature` is what the next file of that source will be known by.
    """
    table = schema.recipe
    found = change.connection.execute(
        select(table.c.id).where(table.c.name == name, table.c.deleted_at.is_(None))
    ).scalar()
    if found is None:
        return change.add(table, name=name, spec=spec, signature=signature)
    change.edit(table, found, spec=spec, signature=signature)
    return int(found)


def recipe_named(connection: Connection, name: str) -> str | None:
    """The TOML text of a kept recipe."""
    table = schema.recipe
    return connection.execute(
        select(table.c.spec).where(table.c.name == name, table.c.deleted_at.is_(None))
    ).scalar()


def recipe_signed(connection: Connection, signatures: Sequence[str]) -> tuple[str, str] | None:
    """Name and text of the recipe that was kept last for files with one of these signatures."""
    table = schema.recipe
    wanted = [each for each in signatures if each]
    found = connection.execute(
        select(table.c.name, table.c.spec)
        .where(table.c.signature.in_(wanted), table.c.deleted_at.is_(None))
        .order_by(table.c.rev.desc(), table.c.id.desc())
    ).first()
    return None if found is None else (str(found[0]), str(found[1]))


def recipes_kept(connection: Connection) -> list[str]:
    """The names of all recipes that are kept."""
    table = schema.recipe
    names = select(table.c.name).where(table.c.deleted_at.is_(None)).order_by(table.c.name)
    return list(connection.execute(names).scalars())


def meter_named(change: Change, person: Person, name: str, unit: str, zone: str) -> int:
    """The local id of a meter, added where there is none of that name."""
    table = schema.meter
    found = change.connection.execute(
        select(table.c.id).where(table.c.name == name, table.c.deleted_at.is_(None))
    ).scalar()
    if found is not None:
        return int(found)
    return change.add(table, person_id=person.id, name=name, unit=unit, zone=zone)
