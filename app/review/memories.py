"""The records of a meter's memory: what it showed, what the diary holds, which may be moved."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from app.domain.clock import Moment
from app.domain.clock_anchors import moment_held
from app.domain.clock_shifts import Stay
from app.domain.person import Person
from app.domain.stamped import Stamped
from app.exchange.raw_stamps import shown_times
from app.store.clock_rows import ClockRows, MemoryRecord, MeterClock


@dataclass(frozen=True, slots=True)
class Record:
    """One record of a memory: the reading, what the meter showed, what the diary holds."""

    id: int
    uid: UUID
    order: int | None
    shown: datetime | None
    raw: str | None
    held: Moment | None
    value: str
    mark: str
    time_state: str
    in_doubt: bool = False  # of its clock
    meter: str | None = None


@dataclass(frozen=True, slots=True)
class Memory:
    """A meter's records in the order of its memory: to show, and as the rules see them."""

    meter: MeterClock
    records: tuple[Record, ...]
    stamped: tuple[Stamped, ...]

    def place(self, record: Record) -> int:
        """The place of a record in the memory, counted from 0."""
        return next(at for at, each in enumerate(self.records) if each.id == record.id)


def shown_by_id(rows: ClockRows, person: Person) -> dict[int, datetime | None]:
    """What the meter showed, by local id of the reading, read from the raw stamps.

    The stamps of one import are of one form, which the times that nobody changed give away.
    """
    by_source: dict[int | None, list[MemoryRecord]] = {}
    for each in rows.records:
        by_source.setdefault(each.import_id, []).append(each)
    found: dict[int, datetime | None] = {}
    for records in by_source.values():
        stamps = [(each.raw_wall, _known_wall(each)) for each in records]
        read = shown_times(stamps, date_order=person.date_order)
        for each, wall in zip(records, read, strict=True):
            found[each.id] = wall if each.raw_wall else _known_wall(each)
    return found


def _known_wall(record: MemoryRecord) -> datetime | None:
    """The wall time where it is what the stamp said: not repaired, moved or typed over."""
    if record.wall is None or record.is_settled:
        return None
    return datetime.fromisoformat(record.wall)


def stamped(
    record: MemoryRecord, shown: datetime | None, meter: MeterClock, stays: tuple[Stay, ...]
) -> Stamped:
    """A record as the rules see it.

    Not free are those that were repaired, whose time was given by hand, or that have the wall time
    of a stay already.
    """
    is_there = record.zone != meter.zone and any(
        stay.zone == record.zone and stay.start <= (record.instant or 0) < stay.end
        for stay in stays
    )
    wall = None if record.wall is None else datetime.fromisoformat(record.wall)
    by_hand = record.time_from in ("now", "typed") and record.raw_wall is not None and wall != shown
    return Stamped(
        id=record.id,
        order=record.order or 0,
        shown=shown,
        instant=record.instant,
        wall=wall,
        zone=record.zone or meter.zone,
        mark=record.mark,
        entered_at=record.entered_at,
        free=not (record.is_settled or by_hand or is_there),
    )


def record_shown(record: MemoryRecord, shown: datetime | None, meter: MeterClock | None) -> Record:
    """A record to show; `shown` is what the meter showed."""
    held = None
    if record.instant is not None and record.wall is not None and record.zone is not None:
        held = moment_held(record.instant, record.wall, record.zone)
    words = {"below": "LO", "above": "HI", "no_value": "no value"}.get(record.bound)
    return Record(
        id=record.id,
        uid=record.uid,
        order=record.order,
        shown=shown,
        raw=record.raw_wall,
        held=held,
        value=f"{words or record.value} {record.unit}",
        mark=record.mark,
        time_state=record.time_state,
        in_doubt=record.repair_state not in (None, "applied"),
        meter=meter.name if meter else None,
    )
