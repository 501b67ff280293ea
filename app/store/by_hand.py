"""Results that were written by hand and that no file has met yet: readings and control tests."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection

from app.domain.person import Person
from app.store import schema
from app.store.journal import Change
from app.store.rows import rows_with

PROBABLY_ONE = "probably_one"  # kind of a ruling
_MOMENT = ("instant", "wall", "zone", "offset_min", "day", "minute")
_READINGS = """
    SELECT id, uid, instant, wall, value, unit, time_precision = 'slot', mark FROM reading
    WHERE person_id = ? AND deleted_at IS NULL AND source_key IS NULL AND instant IS NOT NULL
    AND origin IN ('typed', 'sheet') AND bound = 'exact' ORDER BY instant, id
"""
_CONTROLS = """
    SELECT c.id, c.uid, c.instant, c.wall, c.value, c.unit FROM control_test c
    JOIN meter m ON m.id = c.meter_id
    WHERE m.name = ? AND m.deleted_at IS NULL AND c.deleted_at IS NULL AND c.source_key IS NULL
    AND c.instant IS NOT NULL AND c.bound = 'exact' ORDER BY c.instant, c.id
"""


@dataclass(frozen=True, slots=True)
class ByHand:
    """A result written by hand: its table, ids, when (UTC seconds and wall text), value, unit.

    `of_slot` says that no time stood with it: its moment is the usual one of its mark.
    """

    table: str
    id: int
    uid: bytes
    instant: int
    wall: str
    value: str
    unit: str
    of_slot: bool = False
    mark: str = "none"


def readings_by_hand(connection: Connection, person: Person) -> list[ByHand]:
    """The person's readings by hand that belong to no row of a file yet, by time."""
    rows = connection.exec_driver_sql(_READINGS, (person.id,))
    return [ByHand("reading", *row) for row in rows]


def controls_by_hand(connection: Connection, meter: str) -> list[ByHand]:
    """The control tests of a meter by hand that belong to no row of a file yet, by time."""
    rows = connection.exec_driver_sql(_CONTROLS, (meter,))
    return [ByHand("control_test", *row) for row in rows]


def link(
    change: Change,
    there: ByHand,
    *,
    key: bytes | None,
    raw_wall: str | None,
    raw_code: str | None,
    meter_id: int | None,
    order: int | None,
    moment: Sequence[Any] | None = None,
) -> None:
    """Say that a result by hand and a row of a file are one: it keeps all that was written of it.

    From then on it is known by the row's key, and has the place of the record in the memory. One
    without a time of its own gets that of the row: `moment` holds the columns of one, in their
    order.
    """
    table = schema.metadata.tables[there.table]
    (row,) = rows_with(change.connection, table, "id", [there.id])
    fields: dict[str, Any] = {"source_key": key, "raw_wall": raw_wall, "raw_code": raw_code}
    if there.table == "reading" and meter_id is not None:
        fields |= {"meter_id": meter_id, "memory_order": order}
    if there.of_slot and moment is not None:
        fields |= {**dict(zip(_MOMENT, moment, strict=True)), "time_precision": "minute"}
    change.edit_all(table, [(row, fields)])


def rule_one(change: Change, table: str, uid: bytes, other: bytes | None, verdict: str) -> None:
    """Keep the person's word whether a result by hand and a row of a file are one or two."""
    there = rows_with(
        change.connection,
        schema.ruling,
        "row_uid",
        [uid],
        where=f"kind = '{PROBABLY_ONE}' AND deleted_at IS NULL",
    )
    change.delete_all(schema.ruling, [row for row in there if row["other_uid"] == other])
    change.add(
        schema.ruling,
        kind=PROBABLY_ONE,
        tbl=table,
        row_uid=uid,
        other_uid=other,
        verdict=verdict,
    )
