"""The memory of a meter: what it holds at a moment, full, overwritten or cleared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from app.domain.clock import Moment
from sample_db.clocks import shown_by
from sample_db.household import Household
from sample_db.meters import code_of
from sample_db.records import ControlTest, Result
from sample_db.stamping import by_time


@dataclass(frozen=True, slots=True)
class MemoryRow:
    """A record as a meter shows it: running number, stamp, value and word; no more."""

    number: int
    shown: datetime
    value: str
    code: str
    moment: Moment
    record: UUID


@dataclass(frozen=True, slots=True)
class Copying:
    """A copy of a meter's memory that the family made; `cleared` is when it last began anew."""

    meter: str
    at: Moment
    cleared: Moment | None = None


def memory_rows(home: Household, meter: str) -> list[MemoryRow]:
    """Every record that a meter ever made, in order, with the stamp that its clock gave.

    Other people's tests and control tests stand among the readings, as they do in a meter.
    """
    both: list[Result | ControlTest] = [*home.results, *home.controls]
    taken = [each for each in both if each.meter == meter]
    return [
        MemoryRow(
            number=number,
            shown=shown_by(home.clock_settings, meter, record.moment),
            value=str(record.glucose.value if isinstance(record, Result) else record.value),
            code=code_of(record),
            moment=record.moment,
            record=record.uid,
        )
        for number, record in enumerate(sorted(taken, key=by_time), start=1)
    ]


def copied(home: Household, rows: Sequence[MemoryRow], copying: Copying) -> list[MemoryRow]:
    """The rows in a copy: at most what the memory holds, the newest first."""
    begun = copying.cleared.instant if copying.cleared else 0
    held = [row for row in rows if begun <= row.moment.instant <= copying.at.instant]
    return held[-home.meter(copying.meter).capacity :][::-1]
