"""A person's readings as a list, each with its level and what differs from the ordinary."""

from __future__ import annotations

from dataclasses import dataclass

from app.domain.clock import Period
from app.domain.glucose import Bound
from app.domain.levels import Level, level_of
from app.domain.person import Person
from app.domain.reading import Reading
from app.store.diary import Diary
from app.store.readings import readings_of


@dataclass(frozen=True, slots=True)
class Listed:
    """One reading of a list, with its level; None where the meter gave no value at all."""

    reading: Reading
    level: Level | None


def listing(diary: Diary, person: Person, period: Period | None = None) -> tuple[Listed, ...]:
    """Every reading of a period in the order of time, or all of them; those undated stand last."""
    return tuple(
        Listed(
            reading,
            None if reading.glucose.bound is Bound.NO_VALUE else level_of(reading.glucose),
        )
        for reading in readings_of(diary, person, period)
    )
