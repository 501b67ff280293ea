"""The people of the diary, their goals and their lines."""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING
from uuid import UUID

from app.domain.cautions import CareTexts
from app.domain.glucose import LimitPair, Unit
from app.domain.person import Person
from app.domain.targets import Limit, TargetSet
from app.store import schema
from app.store.connection import rows_of
from app.store.diary import Diary

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from app.store.journal import Change

_PERSONS = "SELECT * FROM person WHERE deleted_at IS NULL ORDER BY id"
_EVERYBODY = "SELECT * FROM person ORDER BY id"
_SETS = "SELECT * FROM target_set WHERE person_id = ? AND deleted_at IS NULL ORDER BY from_day, id"
_LIMITS = "SELECT * FROM target_limit WHERE set_id = ? AND deleted_at IS NULL ORDER BY id"


def persons(diary: Diary) -> list[Person]:
    """Every person of the diary, in the order they were added."""
    with diary.driver() as driver:
        return [_person(row) for row in rows_of(driver, _PERSONS)]


def persons_ever(diary: Diary) -> list[Person]:
    """Every person that the diary has had, those in the bin too, in the order they were added.

    Of those who were emptied from the bin the name is blank.
    """
    with diary.driver() as driver:
        return [_person(row) for row in rows_of(driver, _EVERYBODY)]


def person_by_id(connection: Connection, person_id: int) -> Person:
    """The person with a local id."""
    from sqlalchemy import select

    table = schema.person
    return _person(
        connection.execute(select(table).where(table.c.id == person_id)).mappings().one()
    )


def write_person(
    change: Change, *, name: str, unit: Unit, zone: str, clock: int, date_order: str, day_start: int
) -> int:
    """Write a new person; returns the local id."""
    return change.add(
        schema.person,
        name=name,
        unit=unit.value,
        zone=zone,
        clock=clock,
        date_order=date_order,
        day_start=day_start,
    )


def write_targets(change: Change, person_id: int, targets: TargetSet) -> int:
    """Write a set of goals with its limits; returns the local id of the set."""
    set_id = change.add(
        schema.target_set,
        person_id=person_id,
        from_day=targets.from_day,
        name=targets.name,
        source=targets.source,
        preset=targets.preset,
    )
    for limit in targets.limits:
        change.add(
            schema.target_limit,
            set_id=set_id,
            mark=limit.mark,
            after_from=limit.after_from,
            after_to=limit.after_to,
            low_mg=limit.low.mg_dl if limit.low else None,
            low_mmol=limit.low.mmol_l if limit.low else None,
            high_mg=limit.high.mg_dl if limit.high else None,
            high_mmol=limit.high.mmol_l if limit.high else None,
            high_open=int(limit.high_open),
        )
    return set_id


def targets_of(diary: Diary, person: Person) -> tuple[TargetSet, ...]:
    """The person's goals, the oldest first; each holds from its day until the next begins."""
    with diary.driver() as driver:
        return tuple(
            TargetSet(
                from_day=row["from_day"],
                name=row["name"],
                source=row["source"],
                preset=row["preset"],
                limits=tuple(_limit(limit) for limit in rows_of(driver, _LIMITS, (row["id"],))),
            )
            for row in rows_of(driver, _SETS, (person.id,))
        )


def care_texts(diary: Diary, person: Person, *, day: int | None = None) -> CareTexts:
    """What the person wrote down from the care team; of each kind the newest that is in force.

    With `day` (a date ordinal), texts that begin later are not in force yet.
    """
    from sqlalchemy import select

    table = schema.care_text
    query = select(table.c.kind, table.c.text).where(
        table.c.person_id == person.id, table.c.deleted_at.is_(None)
    )
    if day is not None:
        query = query.where(table.c.from_day.is_(None) | (table.c.from_day <= day))
    query = query.order_by(table.c.from_day.is_not(None), table.c.from_day, table.c.id)
    with diary.reading() as connection:
        rows = connection.execute(query).all()
    # Kinds are open text; "team phone" and "team_phone" are the same one.
    found: dict[str, str] = {kind.replace("_", " "): text for kind, text in rows if text.strip()}
    return CareTexts(
        emergency_number=found.get("emergency number"),
        team_phone=found.get("team phone"),
        low_plan=found.get("low plan"),
        sick_plan=found.get("sick plan"),
        hand_over=found.get("hand-over"),
        contacts=found.get("contacts"),
        what_to_watch=found.get("what to watch"),
    )


def _person(row: RowMapping | sqlite3.Row) -> Person:
    return Person(
        id=row["id"],
        uid=UUID(bytes=row["uid"]),
        name=row["name"],
        unit=Unit(row["unit"]),
        zone=row["zone"],
        clock=row["clock"],
        date_order=row["date_order"],
        day_start=row["day_start"],
    )


def _limit(row: RowMapping | sqlite3.Row) -> Limit:
    return Limit(
        mark=row["mark"],
        low=None if row["low_mg"] is None else LimitPair(row["low_mg"], row["low_mmol"]),
        high=None if row["high_mg"] is None else LimitPair(row["high_mg"], row["high_mmol"]),
        high_open=bool(row["high_open"]),
        after_from=row["after_from"],
        after_to=row["after_to"],
    )
