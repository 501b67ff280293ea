"""Adding a person, choosing one by name, setting goals."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from app.domain.errors import Refused
from app.domain.person import Person, checked_unit, same_name
from app.domain.targets import preset
from app.domain.wishes import Wishes
from app.store.diary import Diary
from app.store.people import write_targets
from app.work.settings import begin_person

ALWAYS = date(1970, 1, 1).toordinal()  # goals that hold from before the first reading on


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
    goals = preset(targets) if targets else None
    wishes = Wishes(
        name=name,
        unit=checked_unit(unit),
        zone=zone,
        clock=clock,
        date_order=date_order,
        day_start=day_start,
        targets=goals.from_day(ALWAYS) if goals else None,
    )
    return begin_person(diary, wishes, now=now)


def set_targets(
    diary: Diary, person: Person, key: str, *, from_day: date | None, now: datetime
) -> str:
    """Put published goals in force from a day on (default: always); returns their name."""
    goals = preset(key)
    first = from_day or date.fromordinal(ALWAYS)
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
        if same_name(person.name, name):
            return person
    raise Refused(f'There is no person named "{name}" in this diary. There are: {names}.')
