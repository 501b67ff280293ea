"""What a diary day holds besides readings: what was done, and stretches of days with a name."""

from __future__ import annotations

from dataclasses import dataclass

from app.domain.clock import Moment
from app.domain.person import Person
from app.store.connection import rows_of
from app.store.diary import Diary

_DAY_SECONDS = 86_400
_EPOCH = 719_163  # date.toordinal of 1970-01-01


@dataclass(frozen=True, slots=True)
class Event:
    """Something done at a time; `end` is UTC seconds, None where no end was written."""

    kind: str
    text: str | None
    start: Moment
    end: int | None


@dataclass(frozen=True, slots=True)
class Span:
    """Whole days with a name, both ends included as date ordinals; no last day while it goes on."""

    kind: str
    text: str | None
    first_day: int
    last_day: int | None


# The index is by instant: no wall time is further than a day and a half from its date's noon.
_EVENTS = (
    "SELECT kind, text, instant, wall, zone, offset_min, end_instant FROM event"
    " WHERE person_id = ? AND deleted_at IS NULL AND instant BETWEEN ? AND ?"
    " AND day - (minute < ?) = ? ORDER BY instant, id"
)
_SPANS = (
    "SELECT kind, text, from_day, to_day FROM span WHERE person_id = ? AND deleted_at IS NULL"
    " AND from_day <= ? AND (to_day IS NULL OR to_day >= ?) ORDER BY from_day, id"
)


def events_on(diary: Diary, person: Person, day: int) -> tuple[Event, ...]:
    """The events that begin on a diary day (a date ordinal), in the order of time."""
    noon = (day - _EPOCH) * _DAY_SECONDS + _DAY_SECONDS // 2
    around = (noon - 2 * _DAY_SECONDS, noon + 2 * _DAY_SECONDS)
    with diary.driver() as driver:
        rows = rows_of(driver, _EVENTS, (person.id, *around, person.day_start * 60, day))
    return tuple(
        Event(
            row["kind"],
            row["text"],
            Moment(row["instant"], row["wall"], row["zone"], row["offset_min"]),
            row["end_instant"],
        )
        for row in rows
    )


def spans_on(diary: Diary, person: Person, day: int) -> tuple[Span, ...]:
    """The stretches of days that a day (a date ordinal) lies in, the one begun first before."""
    with diary.driver() as driver:
        rows = rows_of(driver, _SPANS, (person.id, day, day))
    return tuple(Span(row["kind"], row["text"], row["from_day"], row["to_day"]) for row in rows)
