"""The readings of a day as they stand in its table, each with what was written beside it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from app.domain.clock import offsets_of
from app.domain.glucose import Bound, Glucose, Unit
from app.domain.levels import Level, level_of
from app.domain.marks import MARKS, Mark
from app.domain.person import Person
from app.domain.reading import STANDINGS, Doubt, Standing
from app.store.beside import Beside
from app.store.columns import ABOVE, BELOW, EXACT, MMOL_L, Columns

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class DayRow:
    """One reading of the day.

    `wall` is naive; `turn` says which of the two it is, 1 or 2, where the clocks went back and its
    time came twice, else 0. `code` is a mark of a newer list, which is shown as written.
    """

    id: int
    glucose: Glucose
    level: Level | None
    wall: datetime
    turn: int
    mark: Mark
    after_min: int | None
    code: str | None
    standing: Standing
    why: str | None
    doubt: Doubt
    note: str | None
    tags: tuple[str, ...]
    meter: str | None
    vial: str | None
    keeper: str | None
    later: bool


def day_rows(columns: Columns, person: Person, beside: Beside) -> tuple[DayRow, ...]:
    """The readings of some columns as rows, the newest first."""
    return tuple(_row(columns, at, person, beside) for at in reversed(range(len(columns))))


def glucose_at(columns: Columns, at: int) -> Glucose:
    """The result in one place of the columns; its limit where it is off the scale."""
    unit = Unit.MMOL_L if columns.unit[at] == MMOL_L else Unit.MG_DL
    sides = {EXACT: Bound.EXACT, BELOW: Bound.BELOW, ABOVE: Bound.ABOVE}
    bound = sides.get(int(columns.bound[at]), Bound.NO_VALUE)
    entered = float(columns.entered[at])
    # A limit of 0 stands for one that is not known.
    return Glucose(f"{entered:.12g}" if entered else None, unit, bound)


def wall_at(columns: Columns, at: int, day_start: int) -> datetime:
    """The wall time in one place: a day that starts at 4 holds the small hours of the next date."""
    minute = int(columns.minute[at])
    on = date.fromordinal(int(columns.day[at])) + timedelta(days=minute < day_start * 60)
    return datetime.combine(on, time(minute // 60, minute % 60))


def _row(columns: Columns, at: int, person: Person, beside: Beside) -> DayRow:
    row, glucose = int(columns.id[at]), glucose_at(columns, at)
    wall = wall_at(columns, at, person.day_start)
    after = int(columns.after_min[at])
    return DayRow(
        id=row,
        glucose=glucose,
        level=None if glucose.bound is Bound.NO_VALUE else level_of(glucose),
        wall=wall,
        turn=_turn(wall, int(columns.instant[at]), person.zone),
        mark=MARKS[int(columns.mark[at])],
        after_min=None if after < 0 else after,
        code=beside.mark.get(row),
        standing=STANDINGS[int(columns.standing[at])],
        why=beside.why.get(row),
        doubt=Doubt(int(columns.doubt[at])),
        note=beside.note.get(row),
        tags=beside.tags.get(row, ()),
        meter=beside.meters.get(int(columns.meter[at])),
        vial=beside.vials.get(int(columns.vial[at])),
        keeper=beside.keepers.get(int(columns.keeper[at])),
        later=row in beside.later,
    )


def _turn(wall: datetime, instant: int, zone: str) -> int:
    """1 or 2 where the person's clocks showed this time twice, by the offset that was in force."""
    offsets = offsets_of(wall, zone)
    if len(offsets) < 2:
        return 0
    offset = (int((wall.replace(tzinfo=UTC) - _EPOCH).total_seconds()) - instant) // 60
    return offsets.index(offset) + 1 if offset in offsets else 0
