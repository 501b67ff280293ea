"""What a person does with meters and bottles of solution: add them, correct them, remove them.

Each is one change with one entry in the journal; doubt follows from what is written, at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from app.domain.clock import zone_named
from app.domain.errors import Refused
from app.domain.glucose import Unit
from app.domain.kit import Meter, Solution
from app.domain.person import Person, same_name
from app.store.diary import Diary
from app.store.kit_rows import kit_of
from app.store.kit_writes import add_row, bin_row, edit_row, used_by
from app.work.note_down import kept_text
from app.work.told import told

LONGEST_NAME = 80
MOST_STRIPS, MOST_DAYS_OPEN = 1000, 3650
NOT_SAVED = "Nothing was saved."


@dataclass(frozen=True, slots=True)
class KitDone:
    """What was done: the table, local id and uid of the row, and one sentence about it."""

    table: str
    id: int
    uid: UUID
    sentence: str


def add_meter(
    diary: Diary,
    person: Person,
    name: str,
    *,
    now: datetime,
    unit: Unit | None = None,
    zone: str | None = None,
    **more: Any,
) -> KitDone:
    """Add a meter; `more` are its other columns: serial, capacity, keep_memory, first_day, ends.

    Raises
    ------
    Refused
        There is a meter of that name, or the name is empty. Nothing was saved.
    """
    called = kept_name(name)
    if any(same_name(each.name, called) for each in kit_of(diary).meters):
        raise Refused(f'There is a meter called "{called}" already. {NOT_SAVED}')
    zone_named(zone or person.zone)
    return _add(
        diary,
        person,
        "kit_meter_add",
        {"meter": called},
        "meter",
        now=now,
        person_id=person.id,
        name=called,
        unit=(unit or person.unit).value,
        zone=zone or person.zone,
        **more,
    )


def edit_meter(
    diary: Diary, person: Person, meter: Meter, fields: Mapping[str, Any], *, now: datetime
) -> KitDone:
    """Change columns of a meter.

    Raises
    ------
    Refused
        Nothing would be different, or another meter has the name. Nothing was changed.
    """
    given = dict(fields)
    if "name" in given:
        given["name"] = kept_name(given["name"])
        others = (each for each in kit_of(diary).meters if each.id != meter.id)
        if any(same_name(each.name, given["name"]) for each in others):
            raise Refused(f'There is a meter called "{given["name"]}" already. {NOT_SAVED}')
    return _edit(
        diary, person, "kit_meter_edit", {"meter": meter.name}, "meter", meter, given, now=now
    )


def add_solution(
    diary: Diary,
    person: Person,
    level: str,
    *,
    now: datetime,
    lot: str | None = None,
    printed: str | None = None,
    opened: date | None = None,
    days_open: int | None = 90,
) -> KitDone:
    """Add a bottle of control solution; it is good for 90 days after opening unless said."""
    must_be(days_open, MOST_DAYS_OPEN, "days after opening")
    name = kept_text(lot)
    return _add(
        diary,
        person,
        "kit_solution",
        {"solution": name or level},
        "solution",
        now=now,
        level=level,
        lot=name,
        printed_expiry=printed,
        opened_day=opened.toordinal() if opened else None,
        days_open=days_open,
    )


def edit_solution(
    diary: Diary, person: Person, bottle: Solution, fields: Mapping[str, Any], *, now: datetime
) -> KitDone:
    """Correct what is known of a bottle."""
    words = {"solution": bottle.name}
    return _edit(diary, person, "kit_solution", words, "solution", bottle, fields, now=now)


def remove(
    diary: Diary, person: Person, table: str, row_id: int, uid: UUID, name: str, *, now: datetime
) -> KitDone:
    """Put a thing of the kit into the bin that nothing names.

    Raises
    ------
    Refused
        Readings or tests name it. Nothing was changed.
    """
    words = {"sort": table.replace("_", " "), "named": name}
    with diary.change("kit_remove", words, now=now, person=person) as change:
        users = used_by(change, table, row_id) if table in ("meter", "vial", "solution") else 0
        if users:
            raise Refused(
                f'{users:,} records name "{name}". Nothing was changed; say its last day instead.'
            )
        bin_row(change, table, row_id)
    return KitDone(table, row_id, uid, told("kit_remove", words))


def kept_name(name: str) -> str:
    """A name as it will be kept; refuses an empty or endless one."""
    kept = " ".join(name.split())
    if not kept or not kept.isprintable() or len(kept) > LONGEST_NAME or kept.startswith("#"):
        raise Refused(
            f"A name has 1 to {LONGEST_NAME} characters that can be printed and does not begin "
            f"with #. {NOT_SAVED}"
        )
    return kept


def must_be(count: int | None, most: int, what: str) -> None:
    """Refuse a count that can't be: one to so many, where it was said."""
    if count is not None and not 1 <= count <= most:
        raise Refused(f"There can be 1 to {most} {what}, not {count}. {NOT_SAVED}")


PARTS = {
    "printed_expiry": "printed date",
    "opened_day": "opening day",
    "days_open": "days after opening",
    "finished_day": "last day",
    "keep_memory": "whether its memory must be kept",
    "first_day": "first day",
    "last_day": "last day",
    "low_mg": "lower end",
    "high_mg": "upper end",
}
_SECOND_OF_PAIR = ("low_mmol", "high_mmol")


def _add(
    diary: Diary,
    person: Person,
    kind: str,
    words: Mapping[str, Any],
    table: str,
    *,
    now: datetime,
    **fields: Any,
) -> KitDone:
    with diary.change(kind, words, now=now, person=person) as change:
        row_id, uid = add_row(change, table, **fields)
    return KitDone(table, row_id, uid, told(kind, words))


def _edit(
    diary: Diary,
    person: Person,
    kind: str,
    words: Mapping[str, Any],
    table: str,
    thing: Meter | Solution,
    fields: Mapping[str, Any],
    *,
    now: datetime,
) -> KitDone:
    parts = [PARTS.get(each, each) for each in fields if each not in _SECOND_OF_PAIR]
    said = {**words, "parts": parts}
    with diary.change(kind, said, now=now, person=person) as change:
        if not edit_row(change, table, thing.id, **fields):
            raise Refused("That is what stands there already; nothing was changed.")
    return KitDone(table, thing.id, thing.uid, told(kind, said))
