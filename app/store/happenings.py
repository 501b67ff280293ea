"""What a diary day holds besides readings: what was done, and stretches of days with a name."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import select

from app.domain.clock import Moment
from app.domain.person import Person
from app.store import schema
from app.store.diary import Diary

_DAY_SECONDS = 86_400


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


def events_on(diary: Diary, person: Person, day: int) -> tuple[Event, ...]:
    """The events that begin on a diary day (a date ordinal), in the order of time."""
    table = schema.event
    began = table.c.day - (table.c.minute < person.day_start * 60)
    # The index is by instant: no wall time is further than a day and a half from its date's noon.
    noon = (day - _EPOCH) * _DAY_SECONDS + _DAY_SECONDS // 2
    query = (
        select(table)
        .where(
            table.c.person_id == person.id,
            table.c.deleted_at.is_(None),
            table.c.instant.between(noon - 2 * _DAY_SECONDS, noon + 2 * _DAY_SECONDS),
            began == day,
        )
        .order_by(table.c.instant, table.c.id)
    )
    with diary.reading() as connection:
        return tuple(
            Event(
                row["kind"],
                row["text"],
                Moment(row["instant"], row["wall"], row["zone"], row["offset_min"]),
                row["end_instant"],
            )
            for row in connection.execute(query).mappings()
        )


def spans_on(diary: Diary, person: Person, day: int) -> tuple[Span, ...]:
    """The stretches of days that a day (a date ordinal) lies in, the one begun first before."""
    table = schema.span
    query = (
        select(table)
        .where(
            table.c.person_id == person.id,
            table.c.deleted_at.is_(None),
            table.c.from_day <= day,
            table.c.to_day.is_(None) | (table.c.to_day >= day),
        )
        .order_by(table.c.from_day, table.c.id)
    )
    with diary.reading() as connection:
        return tuple(
            Span(row["kind"], row["text"], row["from_day"], row["to_day"])
            for row in connection.execute(query).mappings()
        )


_EPOCH = 719_163  # date.toordinal of 1970-01-01
