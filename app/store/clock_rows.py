"""What the diary knows of its meters' clocks: records with stamps, settings, repairs, stays."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from uuid import UUID

from app.domain.person import Person
from app.store.connection import rows_of
from app.store.diary import Diary

_METERS = """
    SELECT id, uid, name, zone, first_day FROM meter WHERE deleted_at IS NULL
    AND (person_id = ? OR person_id IS NULL OR id IN
         (SELECT DISTINCT meter_id FROM reading WHERE person_id = ? AND deleted_at IS NULL))
    ORDER BY id
"""
_RECORDS = """
    SELECT id, uid, meter_id, memory_order, import_id, raw_wall, instant, wall, zone, mark,
        time_from, time_state, clock_repair_id, bound, value, unit, standing, entered_at,
        (SELECT c.state FROM clock_repair c WHERE c.id = clock_repair_id) AS repair_state
    FROM reading WHERE person_id = ? AND deleted_at IS NULL
    AND (instant IS NULL OR (meter_id IS NOT NULL AND memory_order IS NOT NULL))
    ORDER BY meter_id, memory_order, id
"""
_SETTINGS = """
    SELECT s.id, s.meter_id, s.at, s.shown_before, s.shown_after, s.cause FROM clock_setting s
    WHERE s.deleted_at IS NULL ORDER BY s.meter_id, s.at, s.id
"""
_REPAIRS = """
    SELECT id, uid, meter_id, from_order, to_order, shift_s, drift_ppm, state FROM clock_repair
    WHERE deleted_at IS NULL ORDER BY id
"""
_ANCHORS = """
    SELECT id, repair_id, reading_id, raw_wall, true_wall, zone, true_instant, why
    FROM clock_anchor WHERE deleted_at IS NULL ORDER BY id
"""
_STAYS = """
    SELECT id, from_instant, to_instant, zone, meters_kept FROM zone_stretch
    WHERE person_id = ? AND deleted_at IS NULL ORDER BY from_instant, id
"""
_NOS = """
    SELECT row_uid, other_uid, verdict FROM ruling
    WHERE kind = 'clock_no' AND deleted_at IS NULL
"""
_USUAL = """
    SELECT mark, minute FROM usual_time WHERE person_id = ? AND deleted_at IS NULL ORDER BY id
"""
_SEEN = """
    SELECT mark, minute FROM reading WHERE person_id = ? AND deleted_at IS NULL
    AND minute IS NOT NULL AND standing != 'not_mine' AND time_precision IN ('second', 'minute')
"""


@dataclass(frozen=True, slots=True)
class MeterClock:
    """A meter as far as its clock goes; `first_day` a date ordinal."""

    id: int
    uid: UUID
    name: str
    zone: str
    first_day: int | None


@dataclass(frozen=True, slots=True)
class MemoryRecord:
    """A reading with what its meter's memory said, and what the diary makes of it."""

    id: int
    uid: UUID
    meter_id: int | None
    order: int | None
    import_id: int | None
    raw_wall: str | None
    instant: int | None
    wall: str | None
    zone: str | None
    mark: str
    time_from: str
    time_state: str
    repair_id: int | None
    bound: str
    value: str | None
    unit: str
    standing: str
    entered_at: int
    repair_state: str | None = None

    @property
    def is_settled(self) -> bool:
        """Whether a repair spoke of its time, be it that its known moments disagree."""
        return self.repair_state in ("applied", "disagrees") or self.time_state == "repaired"


@dataclass(frozen=True, slots=True)
class SettingRow:
    """A setting of a meter's clock: when (UTC seconds), what it showed before and after, why."""

    id: int
    meter_id: int
    at: int
    shown_before: str | None
    shown_after: str | None
    cause: str | None


@dataclass(frozen=True, slots=True)
class AnchorRow:
    """A known moment of a repair; of a reading, or of a stamp as ISO wall time."""

    id: int
    repair_id: int
    reading_id: int | None
    raw_wall: str | None
    true_wall: str
    zone: str
    true_instant: int
    why: str | None


@dataclass(frozen=True, slots=True)
class RepairRow:
    """A repair of a stretch of a memory; `state` proposed, applied or disagrees."""

    id: int
    uid: UUID
    meter_id: int
    first_order: int
    last_order: int | None
    shift_s: int
    drift_ppm: int
    state: str
    anchors: tuple[AnchorRow, ...] = ()


@dataclass(frozen=True, slots=True)
class StayRow:
    """A stay in another zone; `meters_kept` the zone that the meters went on showing."""

    id: int
    start: int
    end: int | None
    zone: str
    meters_kept: str | None


@dataclass(frozen=True, slots=True)
class ClockNo:
    """A proposal that the person said no to: its kind, its first and its last record."""

    kind: str
    first: UUID
    last: UUID | None


@dataclass(frozen=True, slots=True)
class ClockRows:
    """Everything about clocks, in one state of the diary."""

    meters: tuple[MeterClock, ...]
    records: tuple[MemoryRecord, ...]
    settings: tuple[SettingRow, ...]
    repairs: tuple[RepairRow, ...]
    stays: tuple[StayRow, ...]
    nos: tuple[ClockNo, ...]
    seen: tuple[tuple[str, int], ...]  # mark and minute of every dated reading
    usual: dict[str, int]

    def meter(self, meter_id: int | None) -> MeterClock | None:
        """The meter of a local id."""
        return next((each for each in self.meters if each.id == meter_id), None)


def clock_rows(diary: Diary, person: Person) -> ClockRows:
    """Read everything about the clocks of a person's meters; undated readings of any source too."""
    with diary.driver() as driver:
        anchors = [_anchor(row) for row in rows_of(driver, _ANCHORS)]
        return ClockRows(
            meters=tuple(
                MeterClock(
                    row["id"], UUID(bytes=row["uid"]), row["name"], row["zone"], row["first_day"]
                )
                for row in rows_of(driver, _METERS, (person.id, person.id))
            ),
            records=tuple(_record(row) for row in rows_of(driver, _RECORDS, (person.id,))),
            settings=tuple(SettingRow(*row) for row in rows_of(driver, _SETTINGS)),
            repairs=tuple(_repair(row, anchors) for row in rows_of(driver, _REPAIRS)),
            stays=tuple(StayRow(*row) for row in rows_of(driver, _STAYS, (person.id,))),
            nos=tuple(
                ClockNo(row["verdict"], UUID(bytes=row["row_uid"]), _uid(row["other_uid"]))
                for row in rows_of(driver, _NOS)
            ),
            seen=tuple((row[0], row[1]) for row in driver.execute(_SEEN, (person.id,))),
            usual={row["mark"]: row["minute"] for row in rows_of(driver, _USUAL, (person.id,))},
        )


def _uid(value: bytes | None) -> UUID | None:
    return None if value is None else UUID(bytes=value)


def _record(row: sqlite3.Row) -> MemoryRecord:
    return MemoryRecord(row[0], UUID(bytes=row[1]), *tuple(row)[2:])


def _anchor(row: sqlite3.Row) -> AnchorRow:
    return AnchorRow(*row)


def _repair(row: sqlite3.Row, anchors: list[AnchorRow]) -> RepairRow:
    return RepairRow(
        id=row["id"],
        uid=UUID(bytes=row["uid"]),
        meter_id=row["meter_id"],
        first_order=row["from_order"],
        last_order=row["to_order"],
        shift_s=row["shift_s"],
        drift_ppm=row["drift_ppm"],
        state=row["state"],
        anchors=tuple(each for each in anchors if each.repair_id == row["id"]),
    )
