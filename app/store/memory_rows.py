"""The numbers that a meter's records bear in its memory, as earlier copies gave them."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection

_NUMBERED = (
    "SELECT source_key, memory_order FROM reading"
    " WHERE meter_id = ? AND memory_order IS NOT NULL AND source_key IS NOT NULL"
)
_ENDS = (
    "SELECT min(memory_order), max(memory_order), min(instant) FROM reading"
    " WHERE meter_id = ? AND memory_order IS NOT NULL AND deleted_at IS NULL"
)


@dataclass(frozen=True, slots=True)
class Numbered:
    """The numbers of a meter's records by source key, their ends, and when the oldest was."""

    by_key: dict[bytes, int]
    first: int | None
    last: int | None
    oldest: int | None  # UTC seconds


def numbered(connection: Connection, meter_id: int) -> Numbered:
    """What copies of a meter's memory numbered so far; rows in the bin keep their number."""
    rows = connection.exec_driver_sql(_NUMBERED, (meter_id,))
    by_key = {key: number for key, number in rows}  # noqa: C416 - rows are no pairs to the checker
    first, last, oldest = connection.exec_driver_sql(_ENDS, (meter_id,)).one()
    return Numbered(by_key, first, last, oldest)
