"""The copies of a meter's memory that were brought in, and where each of their records is now."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection

from app.domain.person import Person
from app.store import schema
from app.store.diary import Diary
from app.store.journal import Change

_COPIES = """
    SELECT id, name, at, zone, seen, new + already, already FROM import_batch
    WHERE meter_id = ? AND deleted_at IS NULL ORDER BY at DESC, id DESC
"""
_ROWS = """
    SELECT r.line, r.text, r.verdict, r.reason, r.tbl, coalesce(g.uid, c.uid, e.uid, d.uid),
        coalesce(g.deleted_at, c.deleted_at, e.deleted_at, d.deleted_at), g.standing,
        coalesce(g.wall, c.wall, e.wall, d.wall),
        coalesce(g.value || ' ' || g.unit, c.value || ' ' || c.unit, e.kind, d.what)
    FROM import_row r
    LEFT JOIN reading g ON r.tbl = 'reading' AND g.uid = r.row_uid
    LEFT JOIN control_test c ON r.tbl = 'control_test' AND c.uid = r.row_uid
    LEFT JOIN event e ON r.tbl = 'event' AND e.uid = r.row_uid
    LEFT JOIN dose d ON r.tbl = 'dose' AND d.uid = r.row_uid
    WHERE r.import_id = ? AND r.deleted_at IS NULL ORDER BY r.line, r.id
"""
_REACH = """
    SELECT min(instant), max(instant) FROM (
        SELECT g.instant FROM import_row r JOIN reading g ON r.tbl = 'reading' AND g.uid = r.row_uid
        WHERE r.import_id = ? AND r.deleted_at IS NULL)
"""
_USED = """
    SELECT day FROM reading WHERE meter_id = ? AND deleted_at IS NULL AND day IS NOT NULL
    UNION ALL
    SELECT day FROM control_test WHERE meter_id = ? AND deleted_at IS NULL AND day IS NOT NULL
"""
_LAST = """
    SELECT import_id, total, mine, control, not_mine, not_copied, backup FROM memory_check
    WHERE meter_id = ? AND deleted_at IS NULL ORDER BY id DESC LIMIT 1
"""


@dataclass(frozen=True, slots=True)
class CopiedRow:
    """A record of a copy: its line, and the row that it became, if that is there.

    `verdict` is what the import said, `is_there` whether its row stands outside the bin, `binned`
    whether it lies in it.
    """

    line: int
    text: str
    verdict: str
    reason: str | None
    table: str | None
    is_there: bool
    binned: bool
    standing: str | None


@dataclass(frozen=True, slots=True)
class MemoryCopy:
    """A copy of a memory: the file, when it was brought in (UTC seconds), how many records.

    `reach` are the instants of its first and last reading, None where none has a time. Without
    `listed`, the import did not keep where each record went.
    """

    import_id: int
    name: str
    at: int
    zone: str
    total: int
    already: int
    rows: tuple[CopiedRow, ...]
    reach: tuple[int, int] | None

    @property
    def listed(self) -> bool:
        """Whether the import kept where each record went."""
        return len(self.rows) == self.total


@dataclass(frozen=True, slots=True)
class CheckCounts:
    """What a check of a memory found; all records are one of the four."""

    import_id: int
    total: int
    mine: int
    control: int
    not_mine: int
    not_copied: int
    backup: str | None


def newest_copy(diary: Diary, meter_id: int) -> MemoryCopy | None:
    """The copy of a meter's memory that was brought in last, with all its records."""
    with diary.reading() as connection:
        found = connection.exec_driver_sql(_COPIES, (meter_id,)).first()
        if found is None:
            return None
        import_id, name, at, zone, seen, _, already = found
        rows = connection.exec_driver_sql(_ROWS, (import_id,)).all()
        first, last = connection.exec_driver_sql(_REACH, (import_id,)).one()
    return MemoryCopy(
        import_id=import_id,
        name=name,
        at=at,
        zone=zone,
        total=seen,
        already=already,
        rows=tuple(_row(*row) for row in rows),
        reach=None if first is None else (first, last),
    )


def newest_before(diary: Diary, meter_id: int, copy: MemoryCopy) -> int | None:
    """The instant of the newest reading in the copies before one; None where there is none."""
    with diary.reading() as connection:
        ends = [
            connection.exec_driver_sql(_REACH, (row[0],)).one()[1]
            for row in connection.exec_driver_sql(_COPIES, (meter_id,)).all()
            if row[0] != copy.import_id
        ]
    return max((end for end in ends if end is not None), default=None)


def days_used(diary: Diary, meter_id: int) -> list[int]:
    """The local day (a date ordinal) of each reading and control test of a meter."""
    with diary.driver() as driver:
        return [day for (day,) in driver.execute(_USED, (meter_id, meter_id))]


def last_check(connection: Connection, meter_id: int) -> CheckCounts | None:
    """What the last check of a meter's memory found."""
    found = connection.exec_driver_sql(_LAST, (meter_id,)).first()
    return None if found is None else CheckCounts(*found)


def write_check(change: Change, meter_id: int, counts: CheckCounts) -> None:
    """Keep what a check of a memory found."""
    change.add(
        schema.memory_check,
        meter_id=meter_id,
        import_id=counts.import_id,
        at=change.at,
        total=counts.total,
        mine=counts.mine,
        control=counts.control,
        not_mine=counts.not_mine,
        not_copied=counts.not_copied,
        backup=counts.backup,
    )


def meters_copied(diary: Diary, person: Person) -> frozenset[int]:
    """The local ids of meters of whose memory the person has a copy."""
    with diary.driver() as driver:
        rows = driver.execute(
            "SELECT DISTINCT meter_id FROM import_batch"
            " WHERE person_id = ? AND meter_id IS NOT NULL AND deleted_at IS NULL",
            (person.id,),
        )
        return frozenset(meter for (meter,) in rows)


def _row(
    line: int,
    text: str,
    verdict: str,
    reason: str | None,
    table: str | None,
    uid: bytes | None,
    deleted_at: int | None,
    standing: str | None,
    wall: str | None,
    said: str | None,
) -> CopiedRow:
    shown = text or " ".join(filter(None, ((wall or "").replace("T", " "), said)))
    there = uid is not None and deleted_at is None
    binned = uid is not None and deleted_at is not None
    return CopiedRow(line, shown, verdict, reason, table, there, binned, standing)
