"""What a paper sheet meets in the diary: readings of its days, filled in where they are one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection

from app.domain.clock import Moment
from app.domain.person import Person
from app.store import schema
from app.store.journal import Change
from app.store.readings import keeper_named, moment_fields, place_named
from app.store.rows import rows_with

SHEET, SLOT = "sheet", "slot"

_NEAR = """
    SELECT r.id, r.instant, r.wall, r.bound, r.value, r.unit, r.mark, r.origin, r.time_precision,
           k.name, p.name
    FROM reading r LEFT JOIN keeper k ON k.id = r.keeper_id LEFT JOIN place p ON p.id = r.place_id
    WHERE r.person_id = ? AND r.deleted_at IS NULL AND r.instant BETWEEN ? AND ?
    AND r.bound != 'no_value' ORDER BY r.instant, r.id
"""


@dataclass(frozen=True, slots=True)
class There:
    """A reading of the diary beside a sheet: when (UTC seconds and wall text), what, by whom."""

    id: int
    instant: int
    wall: str
    bound: str
    value: str | None
    unit: str
    mark: str
    origin: str
    precision: str
    keeper: str | None
    place: str | None

    @property
    def has_time(self) -> bool:
        """Whether its time was read from a clock; else it is the usual time of its slot."""
        return self.precision != SLOT


def readings_there(
    connection: Connection, person: Person, first: int, last: int
) -> tuple[There, ...]:
    """The person's readings between two instants (UTC seconds, both included), by time."""
    rows = connection.exec_driver_sql(_NEAR, (person.id, first, last))
    return tuple(There(*row) for row in rows)


def fill_in(
    change: Change,
    there: There,
    *,
    keeper: str,
    place: str | None,
    mark: str,
    note: str | None,
    moment: Moment | None,
) -> None:
    """Give a reading what the sheet says and it lacks; what stands in it already is kept.

    `moment` is the time on the sheet, for a reading that has the usual time of its slot alone.
    """
    (row,) = rows_with(change.connection, schema.reading, "id", [there.id])
    fields: dict[str, Any] = {}
    if row["keeper_id"] is None:
        fields["keeper_id"] = keeper_named(change, keeper)
    if row["place_id"] is None and place is not None:
        fields["place_id"] = place_named(change, place)
    if row["mark"] == "none":
        fields |= {"mark": mark, "mark_from": "person"}
    if moment is not None and row["time_precision"] == SLOT:
        fields |= {**moment_fields(moment), "time_precision": "minute"}
    change.edit_all(schema.reading, [(row, fields)])
    if note:
        _add_note(change, row, note)


def _add_note(change: Change, row: dict[str, Any], note: str) -> None:
    """Put a note behind those of a reading, unless it says the same already."""
    held = rows_with(
        change.connection,
        schema.note,
        "row_uid",
        [row["uid"]],
        where="tbl = 'reading' AND deleted_at IS NULL",
    )
    texts = [each["text"] for each in held]
    if not any(note in text for text in texts):
        change.add(schema.note, tbl="reading", row_uid=row["uid"], text=note)
