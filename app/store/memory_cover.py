"""What copies of meters' memories cover, and what was typed by hand in the same time."""

from __future__ import annotations

from dataclasses import dataclass

from app.domain.glucose import Bound, Glucose, Unit
from app.domain.person import Person
from app.store.diary import Diary

_LATER_SECONDS = 2 * 3600  # as `Reading.added_later` has it
_COPIES = """
    SELECT r.meter_id, min(r.instant), max(r.instant), b.already > 0, b.at
    FROM reading r JOIN import_batch b ON b.id = r.import_id
    WHERE r.person_id = ? AND r.deleted_at IS NULL AND r.instant IS NOT NULL
    AND r.meter_id IS NOT NULL AND r.memory_order IS NOT NULL
    GROUP BY r.meter_id, b.id ORDER BY r.meter_id, min(r.instant)
"""
_MEMORY = """
    SELECT meter_id, instant FROM reading WHERE person_id = ? AND deleted_at IS NULL
    AND instant IS NOT NULL AND meter_id IS NOT NULL AND memory_order IS NOT NULL
    ORDER BY meter_id, instant
"""
_WRITTEN = """
    SELECT id, instant, wall, meter_id, bound, value, unit,
        origin = 'typed' AND entered_at - instant > :later
    FROM reading WHERE person_id = :person AND deleted_at IS NULL AND instant IS NOT NULL
    AND origin IN ('typed', 'sheet') AND standing != 'not_mine' ORDER BY instant, id
"""


@dataclass(frozen=True, slots=True)
class WrittenByHand:
    """A result that was typed or stands on a sheet; `later` typed more than two hours after it."""

    id: int
    instant: int
    wall: str
    meter: int | None
    glucose: Glucose
    later: bool


@dataclass(frozen=True, slots=True)
class MemoryCover:
    """By meter: copies as (first, last, overlaps an earlier one), and the times of its records."""

    copies: dict[int, tuple[tuple[int, int, bool], ...]]
    memory: dict[int, tuple[int, ...]]
    written: tuple[WrittenByHand, ...]


def memory_cover(diary: Diary, person: Person) -> MemoryCover:
    """Everything that says whether a written result is in a memory."""
    copies: dict[int, list[tuple[int, int, bool]]] = {}
    memory: dict[int, list[int]] = {}
    with diary.driver() as driver:
        for meter, first, last, overlaps, _ in driver.execute(_COPIES, (person.id,)):
            copies.setdefault(meter, []).append((first, last, bool(overlaps)))
        for meter, instant in driver.execute(_MEMORY, (person.id,)):
            memory.setdefault(meter, []).append(instant)
        written = tuple(
            WrittenByHand(
                row_id, at, wall, meter, Glucose(value, Unit(unit), Bound(bound)), bool(later)
            )
            for row_id, at, wall, meter, bound, value, unit, later in driver.execute(
                _WRITTEN, {"person": person.id, "later": _LATER_SECONDS}
            )
        )
    return MemoryCover(
        {meter: tuple(found) for meter, found in copies.items()},
        {meter: tuple(found) for meter, found in memory.items()},
        written,
    )
