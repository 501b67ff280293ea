"""Many readings at once for tests: written in one change, or as columns without any diary."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

import numpy as np

from app.domain.clock import moment_at, offsets_of
from app.domain.glucose import MG_DL_PER_MMOL_L, Unit
from app.domain.marks import MARKS, Mark
from app.domain.person import Person
from app.domain.reading import NewReading
from app.review.counted import Counted, counted_of
from app.store import schema
from app.store.columns import EXACT, MG_DL, MMOL_L, Columns
from app.store.diary import Diary
from app.store.readings import write_reading
from tests.households import NOW, result

Row = tuple[str, str, Mark]  # wall time, value, mark

FIRST = date(2026, 1, 1).toordinal()
FAR = 1 << 40


def all_written(
    diary: Diary, person: Person, rows: Iterable[Row], *, tags: tuple[str, ...] = ()
) -> None:
    """Write readings in one change, at wall times of the person's own zone."""
    with diary.change("enter", {}, now=NOW, person=person) as change:
        for at, value, mark in rows:
            wall = datetime.fromisoformat(at)
            moment = moment_at(wall, person.zone, offsets_of(wall, person.zone)[0])
            new = NewReading(
                glucose=result(value, person.unit), moment=moment, mark=mark, tags=tags
            )
            write_reading(change, person, new, origin="typed")


def with_meter(diary: Diary, person: Person, name: str, first_day: date, since: str) -> int:
    """Take a meter up on a day, and say of all readings from a wall time on that it made them."""
    with diary.change("new_meter", {"meter": name}, now=NOW, person=person) as change:
        meter = change.add(
            schema.meter,
            person_id=person.id,
            name=name,
            unit=person.unit.value,
            zone=person.zone,
            first_day=first_day.toordinal(),
        )
        rows = change.connection.exec_driver_sql(
            "SELECT id FROM reading WHERE person_id = ? AND wall >= ?", (person.id, since)
        ).scalars()
        for row in rows.all():
            change.edit(schema.reading, row, meter_id=meter)
    return meter


def readings(
    rows: Iterable[tuple[float, Mark, int]], unit: Unit = Unit.MMOL_L, *, shown: Unit | None = None
) -> Counted:
    """Readings that count from (value, mark, day); one a minute from eight on, day by day.

    `shown` is the person's unit where it is not that of the values.
    """
    found = sorted(rows, key=lambda row: row[2])
    n = len(found)
    values = np.array([value for value, _, _ in found], dtype=np.float64)
    days = np.array([FIRST + day for _, _, day in found], dtype=np.int32)
    minute = (8 * 60 + np.arange(n)).astype(np.int16)
    zeros = np.zeros(n, dtype=np.int32)
    is_mmol = unit is Unit.MMOL_L
    columns = Columns(
        id=np.arange(1, n + 1, dtype=np.int64),
        instant=days.astype(np.int64) * 86_400 + minute * 60,
        minute=minute,
        day=days,
        mg_dl=values * MG_DL_PER_MMOL_L if is_mmol else values,
        entered=values,
        unit=np.full(n, MMOL_L if is_mmol else MG_DL, dtype=np.int8),
        bound=np.full(n, EXACT, dtype=np.int8),
        mark=np.array([MARKS.index(mark) for _, mark, _ in found], dtype=np.int8),
        after_min=np.full(n, -1, dtype=np.int16),
        standing=np.zeros(n, dtype=np.int8),
        doubt=zeros,
        meter=zeros,
        vial=zeros,
        keeper=zeros,
        told=zeros,
        vial_said=zeros,
        undated=0,
        seen=0,
    )
    counted, _ = counted_of(columns, shown or unit, now=FAR)
    return counted
