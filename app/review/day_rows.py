"""The readings of a day as they stand in its table, each with what was written beside it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

from app.domain.clock import offsets_of
from app.domain.glucose import Bound, Glucose
from app.domain.levels import Level, level_of
from app.domain.marks import MARKS, Mark
from app.domain.person import Person
from app.domain.reading import STANDINGS, Doubt, Standing
from app.review.one_reading import glucose_at, wall_at
from app.store.beside import Beside
from app.store.columns import Columns

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
