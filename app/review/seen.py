"""Single readings as evidence: when by the clock of the place, what, and whether in doubt."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from app.domain.glucose import Glucose
from app.domain.levels import Level, level_of
from app.domain.marks import MARKS, Mark
from app.review.one_reading import glucose_at, wall_at
from app.store.columns import Columns


@dataclass(frozen=True, slots=True)
class Seen:
    """One reading: its local id, wall time, diary day (ordinal), result, level, mark and doubt."""

    id: int
    wall: datetime
    day: int
    glucose: Glucose
    level: Level
    mark: Mark
    in_doubt: bool


def seen_at(columns: Columns, at: int, day_start: int) -> Seen:
    """The reading in one place of the columns; it must have a value or a bound."""
    glucose = glucose_at(columns, at)
    return Seen(
        id=int(columns.id[at]),
        wall=wall_at(columns, at, day_start),
        day=int(columns.day[at]),
        glucose=glucose,
        level=level_of(glucose),
        mark=MARKS[int(columns.mark[at])],
        in_doubt=bool(columns.doubt[at]),
    )


def all_seen(columns: Columns, places: Iterable[int], day_start: int) -> tuple[Seen, ...]:
    """The readings in some places of the columns, in the order of the places."""
    return tuple(seen_at(columns, int(at), day_start) for at in places)
