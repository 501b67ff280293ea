"""Days with a name, and the days from which something was done differently."""

from __future__ import annotations

from uuid import UUID

from app.domain.person import Person
from app.domain.written import ChangeMark, Span
from app.store.connection import rows_of
from app.store.diary import Diary

_SPANS = (
    "SELECT * FROM span WHERE person_id = ? AND deleted_at IS NULL"
    " AND from_day <= ? AND (to_day IS NULL OR to_day >= ?) ORDER BY from_day, id"
)
_CHANGES = (
    "SELECT * FROM change_mark WHERE person_id = ? AND deleted_at IS NULL"
    " AND day BETWEEN ? AND ? ORDER BY day, id"
)


def spans_on(diary: Diary, person: Person, day: int) -> tuple[Span, ...]:
    """The stretches of days that a day (a date ordinal) lies in, the one begun first before."""
    return spans_between(diary, person, day, day)


def spans_between(diary: Diary, person: Person, first_day: int, last_day: int) -> tuple[Span, ...]:
    """The stretches of days that touch these (date ordinals, both included), the first begun first.

    One that goes on touches every day from its first on.
    """
    with diary.driver() as driver:
        rows = rows_of(driver, _SPANS, (person.id, last_day, first_day))
    return tuple(
        Span(
            id=row["id"],
            uid=UUID(bytes=row["uid"]),
            kind=row["kind"],
            text=row["text"],
            first_day=row["from_day"],
            last_day=row["to_day"],
            set_aside=bool(row["set_aside"]),
            begins=row["from_instant"],
            ends=row["to_instant"],
        )
        for row in rows
    )


def changes_between(
    diary: Diary, person: Person, first_day: int, last_day: int
) -> tuple[ChangeMark, ...]:
    """What was done differently from one of these days (date ordinals, both included) on."""
    with diary.driver() as driver:
        rows = rows_of(driver, _CHANGES, (person.id, first_day, last_day))
    return tuple(
        ChangeMark(
            id=row["id"],
            uid=UUID(bytes=row["uid"]),
            day=row["day"],
            what=row["what"],
            settling_days=row["settling_days"],
            last_day=row["to_day"],
        )
        for row in rows
    )
