"""A person whose readings they are, and how that person wants things shown."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from app.domain.clock import diary_day, moment_now, zone_named
from app.domain.errors import Refused
from app.domain.glucose import Unit

DATE_ORDERS = ("dmy", "mdy", "ymd")
LONGEST_NAME = 80


@dataclass(frozen=True, slots=True)
class Person:
    """A person of the diary. `id` is local to the file, `uid` is the same in every copy."""

    id: int
    uid: UUID
    name: str
    unit: Unit
    zone: str
    clock: int = 24
    date_order: str = "dmy"
    day_start: int = 0


def today_of(person: Person, now: datetime) -> date:
    """The diary day that it is now for a person."""
    return date.fromordinal(diary_day(moment_now(now, person.zone), person.day_start))


def checked_name(name: str) -> str:
    """A name as it will be kept: one line, trimmed; refuses an empty or endless one."""
    kept = " ".join(name.split())
    if not kept or not kept.isprintable():
        raise Refused("A person needs a name that can be printed; nothing was saved.")
    if len(kept) > LONGEST_NAME:
        raise Refused(f"A name has at most {LONGEST_NAME} characters; this one has {len(kept)}.")
    return kept


def checked_unit(text: str) -> Unit:
    """The unit that was named, however it was capitalised."""
    for unit in Unit:
        if text.strip().casefold() == unit.value.casefold():
            return unit
    raise Refused(f'"{text}" is not a unit of glucose; say mg/dL or mmol/L.')


def checked_zone(name: str) -> str:
    """The name of a zone that is known here."""
    zone_named(name)
    return name


def same_name(one: str, other: str) -> bool:
    """Whether two names are the same to a reader: case and spaces do not tell people apart."""
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()
