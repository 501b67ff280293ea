"""A person's settings in the diary: written as a whole for a new person, changed one by one."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from app.domain.clock import moment_now
from app.domain.marks import Mark, known_mark
from app.domain.person import Person
from app.domain.wishes import Wishes
from app.store import schema
from app.store.diary import Diary
from app.store.people import write_person, write_targets

if TYPE_CHECKING:
    from app.store.journal import Change

EMERGENCY = "emergency number"
EVERY_DAY = 127  # bits of the weekdays, Monday the lowest

_USUAL_TIMES = (
    "SELECT mark, minute FROM usual_time WHERE person_id = ? AND deleted_at IS NULL"
    " ORDER BY from_day, id"
)


def usual_times(diary: Diary, person: Person) -> dict[Mark, int]:
    """Minutes of the local day at which the person usually tests, by slot."""
    with diary.driver() as driver:
        rows = driver.execute(_USUAL_TIMES, (person.id,)).fetchall()
    found = {known_mark(code): minute for code, minute in rows}
    return {mark: minute for mark, minute in found.items() if mark is not None}


def write_wishes(change: Change, wishes: Wishes) -> int:
    """Write a new person with every setting; returns the local id."""
    person_id = write_person(
        change,
        name=wishes.name,
        unit=wishes.unit,
        zone=wishes.zone,
        clock=wishes.clock,
        date_order=wishes.date_order,
        day_start=wishes.day_start,
    )
    _write_times(change, person_id, wishes.usual_times)
    if wishes.targets is not None:
        write_targets(change, person_id, wishes.targets)
    if wishes.emergency_number:
        _write_number(change, person_id, wishes.emergency_number)
    return person_id


def change_wishes(change: Change, person: Person, wishes: Wishes) -> None:
    """Bring a person's settings to what is wished; what is the same stays untouched."""
    change.edit(
        schema.person,
        person.id,
        name=wishes.name,
        unit=wishes.unit.value,
        zone=wishes.zone,
        clock=wishes.clock,
        date_order=wishes.date_order,
        day_start=wishes.day_start,
    )
    _change_times(change, person, wishes.usual_times)
    _change_number(change, person.id, wishes.emergency_number)
    if wishes.targets is not None:
        write_targets(change, person.id, wishes.targets)


def _write_times(
    change: Change, person_id: int, times: Mapping[Mark, int], *, from_day: int | None = None
) -> None:
    for mark, minute in times.items():
        change.add(
            schema.usual_time,
            person_id=person_id,
            mark=mark.value,
            weekdays=EVERY_DAY,
            minute=minute,
            from_day=from_day,
        )


def _change_times(change: Change, person: Person, times: Mapping[Mark, int]) -> None:
    """Bring the usual times to these, from today on: what was planned before stays as it was."""
    from sqlalchemy import select

    table = schema.usual_time
    today = moment_now(datetime.fromtimestamp(change.at, UTC), person.zone).day
    rows = change.connection.execute(
        select(table.c.id, table.c.mark, table.c.minute, table.c.from_day)
        .where(table.c.person_id == person.id, table.c.deleted_at.is_(None))
        .order_by(table.c.from_day, table.c.id)
    ).all()
    for row in rows:
        if known_mark(row.mark) not in times:
            change.delete(table, row.id)
    newest = {row.mark: row for row in rows}
    new = {}
    for mark, minute in times.items():
        held = newest.get(mark.value)
        if held is None or (held.minute != minute and held.from_day != today):
            new[mark] = minute
        elif held.minute != minute:
            change.edit(table, held.id, minute=minute)
    _write_times(change, person.id, new, from_day=today)


def _write_number(change: Change, person_id: int, number: str) -> None:
    change.add(schema.care_text, person_id=person_id, kind=EMERGENCY, text=number)


def _change_number(change: Change, person_id: int, number: str) -> None:
    from sqlalchemy import select

    table = schema.care_text
    found = change.connection.execute(
        select(table.c.id)
        .where(
            table.c.person_id == person_id,
            table.c.kind == EMERGENCY,
            table.c.deleted_at.is_(None),
        )
        .order_by(table.c.id.desc())
    ).scalar()
    if found is None:
        if number:
            _write_number(change, person_id, number)
    elif number:
        change.edit(table, found, text=number)
    else:
        change.delete(table, found)
