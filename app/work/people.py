"""Adding a person, choosing one by name, setting goals."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from app.domain.errors import Refused
from app.domain.person import DATE_ORDERS, Person, checked_name, checked_unit, checked_zone
from app.domain.targets import preset
from app.store.diary import Diary
from app.store.people import person_by_id, persons, write_person, write_targets


def add_person(
    diary: Diary,
    name: str,
    *,
    unit: str,
    zone: str,
    now: datetime,
    clock: int = 24,
    date_order: str = "dmy",
    day_start: int = 0,
    targets: str | None = None,
) -> Person:
    """Add a person; with `targets` also the published goals of that key, in force from the start.

    Raises
    ------
    Refused
        The name is taken (without regard to case) or empty, or unit, zone, goals or a way of
        showing things are unknown. Nothing was changed.
    """
    kept = checked_name(name)
    goals = preset(targets) if targets else None
    known_unit, known_zone = checked_unit(unit), checked_zone(zone)
    if date_order not in DATE_ORDERS:
        raise Refused(f'"{date_order}" is no order of dates; say one of {", ".join(DATE_ORDERS)}.')
    if clock not in (12, 24):
        raise Refused(f"A clock has 12 or 24 hours, not {clock}.")
    if not 0 <= day_start <= 6:
        raise Refused(f"A diary day starts at a whole hour from 0 to 6, not {day_start}.")
    taken = [person.name for person in persons(diary) if _same(person.name, kept)]
    if taken:
        raise Refused(f'There is a person named "{taken[0]}" already; nothing was added.')
    with diary.change("person_add", {"name": kept}, now=now) as change:
        person_id = write_person(
            change,
            name=kept,
            unit=known_unit,
            zone=known_zone,
            clock=clock,
            date_order=date_order,
            day_start=day_start,
        )
        if goals:
            write_targets(change, person_id, goals.from_day(date(1970, 1, 1).toordinal()))
        change.concerns(person_id)
        return person_by_id(change.connection, person_id)


def set_targets(
    diary: Diary, person: Person, key: str, *, from_day: date | None, now: datetime
) -> str:
    """Put published goals in force from a day on (default: always); returns their name."""
    goals = preset(key)
    first = from_day or date(1970, 1, 1)
    words = {"name": goals.name, "from": first.isoformat()}
    with diary.change("targets_set", words, now=now, person=person) as change:
        write_targets(change, person.id, goals.from_day(first.toordinal()))
    return goals.name


def chosen_person(found: Sequence[Person], name: str | None) -> Person:
    """The person who is meant: the one of that name, or the only one there is."""
    names = ", ".join(person.name for person in found)
    if not found:
        raise Refused(
            "There is nobody in this diary yet. Add a person: "
            "thimblebook person add NAME --unit mmol/L --zone Region/City"
        )
    if name is None:
        if len(found) > 1:
            raise Refused(f"Whose? Say --person and one of these names: {names}.")
        return found[0]
    for person in found:
        if _same(person.name, name):
            return person
    raise Refused(f'There is no person named "{name}" in this diary. There are: {names}.')


def _same(one: str, other: str) -> bool:
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()
