"""What is written down beside readings, row by row, inside one change."""

from __future__ import annotations

from uuid import UUID, uuid4

from sqlalchemy import Table, select

from app.domain.clock import Moment
from app.domain.glucose import Unit
from app.domain.ketones import BLOOD, UNIT, Ketones
from app.domain.labs import LabResult
from app.domain.person import Person
from app.store import schema
from app.store.journal import Change
from app.store.readings import keeper_named, moment_fields, tag_labelled

_NAMED_BY_MINUTE = {"reading": schema.reading, "event": schema.event}


def write_help(
    change: Change, person: Person, at: Moment, *, what: str | None, reading_id: int | None
) -> UUID:
    """Write that another person's help was needed; returns the uid."""
    return _add(
        change,
        schema.help_record,
        person,
        **moment_fields(at),
        what=what,
        reading_id=reading_id,
    )


def write_ketones(
    change: Change, person: Person, result: Ketones, at: Moment, *, keeper: str | None
) -> UUID:
    """Write a ketone test as typed; returns the uid."""
    return _add(
        change,
        schema.ketone,
        person,
        method=result.method,
        bound=result.bound.value,
        value=result.value,
        unit=UNIT if result.method == BLOOD else None,
        level=result.level,
        **moment_fields(at),
        **_typed(change, keeper),
    )


def write_lab(change: Change, person: Person, result: LabResult, at: Moment) -> UUID:
    """Write a laboratory's result; returns the uid."""
    return _add(
        change,
        schema.lab_result,
        person,
        kind=result.kind,
        value=result.value,
        unit=result.unit,
        **moment_fields(at),
    )


def write_change_mark(
    change: Change, person: Person, day: int, *, what: str, settling_days: int
) -> UUID:
    """Write that something is done differently from a day (a date ordinal) on; returns the uid."""
    return _add(change, schema.change_mark, person, day=day, what=what, settling_days=settling_days)


def write_span(
    change: Change,
    person: Person,
    *,
    kind: str,
    text: str | None,
    first_day: int,
    last_day: int | None,
    set_aside: bool,
    begins: int | None = None,
) -> UUID:
    """Write days with a name (date ordinals, both included); returns the uid.

    `begins` is an instant (UTC seconds) within the first day, where that was said.
    """
    return _add(
        change,
        schema.span,
        person,
        kind=kind,
        from_day=first_day,
        to_day=last_day,
        text=text,
        set_aside=int(set_aside),
        from_instant=begins,
    )


def write_event(
    change: Change,
    person: Person,
    at: Moment,
    *,
    kind: str,
    text: str | None,
    end: int | None,
    carb_g: float | None,
    keeper: str | None,
    level: str | None = None,
) -> UUID:
    """Write something done or felt; `end` is UTC seconds; returns the uid."""
    return _add(
        change,
        schema.event,
        person,
        kind=kind,
        text=text,
        **moment_fields(at),
        end_instant=end,
        carb_g=carb_g,
        level=level,
        **_typed(change, keeper),
    )


def put_tag(change: Change, person: Person, label: str, table: str, uid: UUID) -> bool:
    """Put a tag on a row; False where it bears it already."""
    on, tag_id = schema.tag_on, tag_labelled(change, person, label)
    there = change.connection.execute(
        select(on.c.id).where(
            on.c.tag_id == tag_id, on.c.row_uid == uid.bytes, on.c.deleted_at.is_(None)
        )
    ).first()
    if there is None:
        change.add(on, tag_id=tag_id, tbl=table, row_uid=uid.bytes)
    return there is None


def rows_at_minute(change: Change, person: Person, at: Moment, table: str) -> list[UUID]:
    """The readings or events (by the name of their table) within the minute of a moment."""
    found = _NAMED_BY_MINUTE[table]
    start = at.instant - at.instant % 60
    rows = change.connection.execute(
        select(found.c.uid)
        .where(
            found.c.person_id == person.id,
            found.c.deleted_at.is_(None),
            found.c.instant.between(start, start + 59),
        )
        .order_by(found.c.id)
    )
    return [UUID(bytes=uid) for (uid,) in rows]


def reading_near(
    change: Change, person: Person, at: Moment, *, within_s: int
) -> tuple[int, str, Unit] | None:
    """The reading nearest to a moment: local id, wall time, unit; None where none is so near."""
    table = schema.reading
    rows = change.connection.execute(
        select(table.c.id, table.c.wall, table.c.unit, table.c.instant).where(
            table.c.person_id == person.id,
            table.c.deleted_at.is_(None),
            table.c.standing != "not_mine",
            table.c.instant.between(at.instant - within_s, at.instant + within_s),
        )
    ).all()
    if not rows:
        return None
    near = min(rows, key=lambda row: (abs(row.instant - at.instant), row.id))
    return int(near.id), str(near.wall), Unit(near.unit)


def _add(change: Change, table: Table, person: Person, **fields: object) -> UUID:
    uid = uuid4()
    change.add(table, uid=uid, person_id=person.id, **fields)
    return uid


def _typed(change: Change, keeper: str | None) -> dict[str, object]:
    keeper_id = None if keeper is None else keeper_named(change, keeper)
    return {"origin": "typed", "keeper_id": keeper_id, "entered_at": change.at}
