"""What a diary holds beside readings, at a time: events, tests, doses, help."""

from __future__ import annotations

import sqlite3
from uuid import UUID

from app.domain.clock import Moment
from app.domain.glucose import Bound
from app.domain.person import Person
from app.domain.written import Dose, Event, Help, KetoneTest, Lab
from app.store.connection import rows_of
from app.store.diary import Diary

_DAY_SECONDS = 86_400
_EPOCH = 719_163  # date.toordinal of 1970-01-01

# The index is by instant: no wall time is further than a day and a half from its date's noon.
_BETWEEN = (
    "SELECT * FROM {} WHERE person_id = ? AND deleted_at IS NULL AND instant BETWEEN ? AND ?"
    " AND day - (minute < ?) BETWEEN ? AND ? ORDER BY instant, id"
)
_LABS = (
    "SELECT * FROM lab_result WHERE person_id = ? AND deleted_at IS NULL"
    " AND instant IS NOT NULL ORDER BY instant, id"
)


def events_on(diary: Diary, person: Person, day: int) -> tuple[Event, ...]:
    """The events that begin on a diary day (a date ordinal), in the order of time."""
    return events_between(diary, person, day, day)


def events_between(
    diary: Diary, person: Person, first_day: int, last_day: int
) -> tuple[Event, ...]:
    """The events that begin on these diary days (date ordinals, both included), by time."""
    rows = _between(diary, "event", person, first_day, last_day)
    return tuple(
        Event(
            id=row["id"],
            uid=UUID(bytes=row["uid"]),
            kind=row["kind"],
            text=row["text"],
            start=_moment(row),
            end=row["end_instant"],
            carb_g=row["carb_g"],
            level=row["level"],
        )
        for row in rows
    )


def ketones_between(
    diary: Diary, person: Person, first_day: int, last_day: int
) -> tuple[KetoneTest, ...]:
    """The ketone tests of these diary days (date ordinals, both included), by time."""
    rows = _between(diary, "ketone", person, first_day, last_day)
    return tuple(
        KetoneTest(
            id=row["id"],
            uid=UUID(bytes=row["uid"]),
            method=row["method"],
            bound=Bound(row["bound"]),
            value=row["value"],
            level=row["level"],
            at=_moment(row),
        )
        for row in rows
    )


def doses_between(diary: Diary, person: Person, first_day: int, last_day: int) -> tuple[Dose, ...]:
    """What was taken on these diary days (date ordinals, both included), by time."""
    rows = _between(diary, "dose", person, first_day, last_day)
    return tuple(
        Dose(
            id=row["id"],
            uid=UUID(bytes=row["uid"]),
            what=row["what"],
            kind=row["kind"],
            amount=row["amount"],
            unit=row["unit"],
            at=_moment(row),
        )
        for row in rows
    )


def helps_between(diary: Diary, person: Person, first_day: int, last_day: int) -> tuple[Help, ...]:
    """When help was needed on these diary days (date ordinals, both included), by time."""
    rows = _between(diary, "help", person, first_day, last_day)
    return tuple(
        Help(
            id=row["id"],
            uid=UUID(bytes=row["uid"]),
            at=_moment(row),
            what=row["what"],
            reading_id=row["reading_id"],
        )
        for row in rows
    )


def labs_of(diary: Diary, person: Person) -> tuple[Lab, ...]:
    """All results of a laboratory that have a time, the oldest first."""
    with diary.driver() as driver:
        rows = rows_of(driver, _LABS, (person.id,))
    return tuple(
        Lab(
            id=row["id"],
            uid=UUID(bytes=row["uid"]),
            kind=row["kind"],
            value=row["value"],
            unit=row["unit"],
            at=_moment(row),
        )
        for row in rows
    )


def _between(
    diary: Diary, table: str, person: Person, first_day: int, last_day: int
) -> list[sqlite3.Row]:
    """Rows with a moment on these diary days; `table` is a name of ours, never typed text."""
    ends = (_noon(first_day) - 2 * _DAY_SECONDS, _noon(last_day) + 2 * _DAY_SECONDS)
    values = (person.id, *ends, person.day_start * 60, first_day, last_day)
    with diary.driver() as driver:
        return rows_of(driver, _BETWEEN.format(table), values)


def _noon(day: int) -> int:
    return (day - _EPOCH) * _DAY_SECONDS + _DAY_SECONDS // 2


def _moment(row: sqlite3.Row) -> Moment:
    return Moment(row["instant"], row["wall"], row["zone"], row["offset_min"])
