"""May a meter's memory be cleared? Every record of its last copy, and where it is now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.domain.kit import Meter
from app.statistics.memory_room import MemoryRoom, memory_room
from app.store.backup_facts import BackupFacts, newest_verified
from app.store.diary import Diary
from app.store.memory_copies import (
    CheckCounts,
    CopiedRow,
    MemoryCopy,
    days_used,
    newest_before,
    newest_copy,
)

MINE, CONTROL, NOT_MINE, NOT_COPIED = "mine", "control", "not_mine", "not_copied"
YES, NOT_YET, NEVER = "yes", "not_yet", "never"
IN_THE_BIN = "its row lies in the bin"
ERASED = "its row was erased"

# Drivers of lorries and buses in Great Britain show three months of readings held in the memory of
# a meter: DVLA, Assessing fitness to drive, chapter 3 (from memory).
WHY_KEPT = (
    "this meter is marked as one whose memory must be kept, as for drivers who have to show it"
)
NO_WAY_BACK = "Clearing a meter can't be taken back."


@dataclass(frozen=True, slots=True)
class NotCopied:
    """A record that the diary does not have: its line in the file, what stood there, why."""

    line: int
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class MemoryChecked:
    """The answer of a check.

    `answer` is yes, not_yet or never; `counts` is None where no copy was brought in, or one whose
    records were not listed. `gap` are the instants between which the memory wrote over results
    before they were copied. Without `listed`, the import of the copy kept no list of its records.
    """

    meter: Meter
    answer: str
    copy: MemoryCopy | None
    counts: CheckCounts | None
    missing: tuple[NotCopied, ...]
    backup: BackupFacts | None
    room: MemoryRoom
    gap: tuple[int, int] | None = None
    listed: bool = True


def memory_checked(diary: Diary, meter: Meter) -> MemoryChecked:
    """Account for every record of the last copy of a meter's memory.

    The backup that counts is one that was made after the copy was brought in and is still byte for
    byte what was checked.
    """
    copy = newest_copy(diary, meter.id)
    room = _room(diary, meter, copy)
    if copy is None or not copy.listed:
        answer = NEVER if meter.keep_memory else NOT_YET
        return MemoryChecked(meter, answer, copy, None, (), None, room, listed=copy is None)
    kinds = [kind_of(row) for row in copy.rows]
    missing = tuple(
        NotCopied(row.line, row.text, _why(row))
        for row, kind in zip(copy.rows, kinds, strict=True)
        if kind == NOT_COPIED
    )
    backup = newest_verified(diary.path, certain=True)
    if backup is not None and int(backup.at.timestamp()) <= copy.at:
        backup = None
    answer = YES if not missing and backup is not None else NOT_YET
    counts = CheckCounts(
        import_id=copy.import_id,
        total=copy.total,
        mine=kinds.count(MINE),
        control=kinds.count(CONTROL),
        not_mine=kinds.count(NOT_MINE),
        not_copied=len(missing),
        backup=backup.path.name if backup else None,
    )
    if meter.keep_memory:
        answer = NEVER
    gap = _gap(diary, meter, copy)
    return MemoryChecked(meter, answer, copy, counts, missing, backup, room, gap)


def memory_gap(diary: Diary, meter: Meter) -> tuple[int, int] | None:
    """What the newest copy shows to be written over: between two instants, in UTC seconds.

    None where there is nothing of the kind. With no capacity written it may have been.
    """
    copy = newest_copy(diary, meter.id)
    return None if copy is None or not copy.listed else _gap(diary, meter, copy)


def kind_of(row: CopiedRow) -> str:
    """Whether a record is mine, a control test, not mine, or in the diary no longer or not yet."""
    if not row.is_there:
        return NOT_COPIED
    if row.table == "control_test":
        return CONTROL
    return NOT_MINE if row.standing == "not_mine" else MINE


def _why(row: CopiedRow) -> str:
    if row.binned:
        return IN_THE_BIN
    return row.reason or ERASED


def _gap(diary: Diary, meter: Meter, copy: MemoryCopy) -> tuple[int, int] | None:
    """Where a copy shares no record with those before it, and a full memory may have run over."""
    if copy.already or copy.reach is None:
        return None
    if meter.capacity is not None and copy.total < meter.capacity:
        return None  # it was not full, so nothing was written over
    before = newest_before(diary, meter.id, copy)
    first = copy.reach[0]
    return (before, first) if before is not None and before < first else None


def _room(diary: Diary, meter: Meter, copy: MemoryCopy | None) -> MemoryRoom:
    days = days_used(diary, meter.id)
    copied = None
    if copy is not None and copy.reach is not None:
        # The day on UTC's calendar is near enough for a forecast in days.
        copied = date(1970, 1, 1).toordinal() + copy.reach[1] // 86400
    return memory_room(meter.capacity, copied, days, since=min(days, default=None))
