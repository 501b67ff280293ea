"""Readings written one at a time, and read back with their notes, tags and keeper."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from uuid import UUID, uuid4

from sqlalchemy import Connection, RowMapping, Select, Table, func, select

from app.domain.clock import Moment, Period
from app.domain.glucose import Bound, Glucose, Unit
from app.domain.person import Person
from app.domain.reading import Doubt, NewReading, Reading, Stamp, Standing
from app.store import schema
from app.store.diary import Diary
from app.store.doubt_rows import doubts_of_rows
from app.store.history import amended
from app.store.journal import Change

_AT_ONCE = 500  # rows asked for in one IN list


def write_reading(
    change: Change, person: Person, new: NewReading, *, origin: str, import_id: int | None = None
) -> UUID:
    """Write one reading with its note and tags; returns its uid."""
    uid = uuid4()
    keeper_id = None if new.keeper is None else keeper_named(change, new.keeper)
    place_id = None if new.place is None else place_named(change, new.place)
    change.add(
        schema.reading,
        uid=uid,
        **reading_fields(new),
        person_id=person.id,
        origin=origin,
        import_id=import_id,
        keeper_id=keeper_id,
        place_id=place_id,
        entered_at=change.at,
        meter_id=new.meter_id,
        vial_id=new.vial_id,
    )
    if new.note:
        own = change.copy_id if new.note_is_private else None
        change.add(schema.note, tbl="reading", row_uid=uid.bytes, text=new.note, private_copy=own)
    for label in new.tags:
        tag_id = tag_labelled(change, person, label)
        change.add(schema.tag_on, tag_id=tag_id, tbl="reading", row_uid=uid.bytes)
    return uid


def reading_fields(new: NewReading) -> dict[str, Any]:
    """The columns that say what a reading is; where it came from is added by who writes it."""
    glucose, stamp = new.glucose, new.stamp
    return {
        "bound": glucose.bound.value,
        "value": glucose.value,
        "unit": glucose.unit.value,
        "mg_dl": glucose.mg_dl,
        **moment_fields(new.moment),
        "raw_wall": stamp.wall,
        "raw_value": stamp.value,
        "raw_unit": stamp.unit,
        "raw_code": stamp.code,
        "time_from": new.time_from,
        "time_state": new.time_state,
        "time_precision": new.time_precision,
        "mark": new.mark.value,
        "mark_from": new.mark_from,
        "after_min": new.after_min,
        "site": new.site,
        "site_detail": new.site_detail,
        "hands": new.hands,
        "standing": new.standing.value,
        "standing_why": new.standing_why,
        "odd_ok": int(new.odd_ok),
    }


def moment_fields(moment: Moment | None) -> dict[str, Any]:
    """The columns of a moment, all empty where there is none."""
    if moment is None:
        return dict.fromkeys(("instant", "wall", "zone", "offset_min", "day", "minute"))
    return {
        "instant": moment.instant,
        "wall": moment.wall,
        "zone": moment.zone,
        "offset_min": moment.offset_min,
        "day": moment.day,
        "minute": moment.minute,
    }


def keeper_named(change: Change, name: str) -> int:
    """The local id of a keeper, added where there is none of that name."""
    return _named(change, schema.keeper, name)


def place_named(change: Change, name: str) -> int:
    """The local id of a place, added where there is none of that name."""
    return _named(change, schema.place, name)


def tag_labelled(change: Change, person: Person, label: str) -> int:
    """The local id of one of the person's tags, added where there is none of that label."""
    table = schema.tag
    found = change.connection.execute(
        select(table.c.id).where(
            table.c.person_id == person.id,
            table.c.label == label,
            table.c.deleted_at.is_(None),
        )
    ).scalar()
    return change.add(table, person_id=person.id, label=label) if found is None else int(found)


def readings_of(diary: Diary, person: Person, period: Period | None = None) -> list[Reading]:
    """A person's readings sorted by instant, those without a time last.

    With a period, those of its diary days alone, both ends included.
    """
    table = schema.reading
    query = select(table).where(table.c.person_id == person.id, table.c.deleted_at.is_(None))
    if period is not None:
        day = table.c.day - (table.c.minute < person.day_start * 60)
        query = query.where(day.between(period.first.toordinal(), period.last.toordinal()))
    return _read(
        diary, person, query.order_by(table.c.instant.is_(None), table.c.instant, table.c.id)
    )


def reading_with_id(diary: Diary, person: Person, row_id: int) -> Reading | None:
    """One reading of the person by its local id, or None where the diary holds it no more."""
    table = schema.reading
    found = _read(
        diary,
        person,
        select(table).where(
            table.c.id == row_id, table.c.person_id == person.id, table.c.deleted_at.is_(None)
        ),
    )
    return found[0] if found else None


def count_of(diary: Diary, person: Person) -> int:
    """How many readings of the person the diary holds."""
    table = schema.reading
    with diary.reading() as connection:
        return int(
            connection.execute(
                select(func.count())
                .select_from(table)
                .where(table.c.person_id == person.id, table.c.deleted_at.is_(None))
            ).scalar_one()
        )


def _named(change: Change, table: Table, name: str) -> int:
    found = change.connection.execute(
        select(table.c.id).where(table.c.name == name, table.c.deleted_at.is_(None))
    ).scalar()
    return change.add(table, name=name) if found is None else int(found)


def _read(diary: Diary, person: Person, query: Select[Any]) -> list[Reading]:
    with diary.reading() as connection:
        rows = connection.execute(query).mappings().all()
        uids = [row["uid"] for row in rows]
        notes = _notes(connection, uids, diary.installation)
        tags = _tags(connection, uids)
        keepers, places = (_names(connection, each) for each in (schema.keeper, schema.place))
        doubts = doubts_of_rows(diary, connection, person, rows)
        edited = amended(connection, (row["uid"] for row in rows if row["rev"] > row["born"]))
        return [
            _reading(row, notes, tags, keepers, places, doubts, is_amended=row["uid"] in edited)
            for row in rows
        ]


def _names(connection: Connection, table: Table) -> dict[int, str]:
    return {row.id: row.name for row in connection.execute(select(table.c.id, table.c.name))}


def _notes(
    connection: Connection, uids: Sequence[bytes], installation: UUID
) -> dict[bytes, tuple[str, bool]]:
    """By a reading's uid its notes, and whether one of them is for this copy alone.

    What another copy keeps to itself is shown there alone.
    """
    table = schema.note
    own = select(schema.copy.c.id).where(schema.copy.c.uid == installation.bytes).scalar_subquery()
    found: dict[bytes, tuple[str, bool]] = {}
    for start in range(0, len(uids), _AT_ONCE):
        rows = connection.execute(
            select(table.c.row_uid, table.c.text, table.c.private_copy.is_not(None))
            .where(
                table.c.row_uid.in_(uids[start : start + _AT_ONCE]),
                table.c.deleted_at.is_(None),
                table.c.private_copy.is_(None) | (table.c.private_copy == own),
            )
            .order_by(table.c.id)
        )
        for uid, text, private in rows:
            before, was_private = found.get(uid, ("", False))
            found[uid] = (f"{before}\n{text}" if before else text, bool(private or was_private))
    return found


def _tags(connection: Connection, uids: Sequence[bytes]) -> dict[bytes, tuple[str, ...]]:
    on, tag = schema.tag_on, schema.tag
    found: dict[bytes, tuple[str, ...]] = {}
    for start in range(0, len(uids), _AT_ONCE):
        rows = connection.execute(
            select(on.c.row_uid, tag.c.label)
            .join(tag, tag.c.id == on.c.tag_id)
            .where(on.c.row_uid.in_(uids[start : start + _AT_ONCE]), on.c.deleted_at.is_(None))
            .order_by(on.c.id)
        )
        for uid, label in rows:
            found[uid] = (*found.get(uid, ()), label)
    return found


def _reading(
    row: RowMapping,
    notes: dict[bytes, tuple[str, bool]],
    tags: dict[bytes, tuple[str, ...]],
    keepers: dict[int, str],
    places: dict[int, str],
    doubts: dict[int, Doubt],
    *,
    is_amended: bool,
) -> Reading:
    moment = (
        None
        if row["instant"] is None
        else Moment(row["instant"], row["wall"], row["zone"], row["offset_min"])
    )
    note, is_private = notes.get(row["uid"], (None, False))
    return Reading(
        id=row["id"],
        uid=UUID(bytes=row["uid"]),
        glucose=Glucose(row["value"], Unit(row["unit"]), Bound(row["bound"])),
        moment=moment,
        mark=row["mark"],
        mark_from=row["mark_from"],
        after_min=row["after_min"],
        site=row["site"],
        site_detail=row["site_detail"],
        hands=row["hands"],
        standing=Standing(row["standing"]),
        standing_why=row["standing_why"],
        doubt=doubts[row["id"]],
        odd_ok=bool(row["odd_ok"]),
        time_from=row["time_from"],
        time_state=row["time_state"],
        time_precision=row["time_precision"],
        stamp=Stamp(row["raw_wall"], row["raw_value"], row["raw_unit"], row["raw_code"]),
        origin=row["origin"],
        entered_at=row["entered_at"],
        amended=is_amended,
        note=note,
        note_is_private=is_private,
        tags=tags.get(row["uid"], ()),
        keeper=keepers.get(row["keeper_id"]),
        place=places.get(row["place_id"]),
    )
