"""Readings that are there already: looked up again, and their notes, tags and keeper rewritten."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from sqlalchemy import RowMapping, Table, select

from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Standing
from app.store import schema
from app.store.journal import Change
from app.store.readings import keeper_named, tag_labelled

_AT_ONCE = 500  # rows asked for in one IN list


def held(change: Change, person: Person, ids: Iterable[int]) -> list[RowMapping]:
    """The rows of those of the person's readings that are still in the diary, by local id."""
    table = schema.reading
    wanted = sorted(set(ids))
    found: list[RowMapping] = []
    for start in range(0, len(wanted), _AT_ONCE):
        rows = change.connection.execute(
            select(table)
            .where(
                table.c.id.in_(wanted[start : start + _AT_ONCE]),
                table.c.person_id == person.id,
                table.c.deleted_at.is_(None),
            )
            .order_by(table.c.id)
        )
        found.extend(rows.mappings().all())
    return found


def rewrite(change: Change, row_id: int, **fields: Any) -> None:
    """Change columns of a reading; its raw stamp is never among them."""
    change.edit(schema.reading, row_id, **fields)


def rewrite_mark(change: Change, row: RowMapping, mark: Mark) -> bool:
    """Give a reading another mark; whether that was a change."""
    fields = mark_fields(mark, row["after_min"])
    if all(row[name] == value for name, value in fields.items() if name != "mark_from"):
        return False
    change.edit(schema.reading, row["id"], **fields)
    return True


def mark_fields(mark: Mark, after_min: int | None) -> dict[str, Any]:
    """The columns of a mark that the person gave; minutes after a meal go with such marks alone."""
    return {
        "mark": mark.value,
        "mark_from": None if mark is Mark.NONE else "person",
        "after_min": after_min if mark.is_after_meal else None,
    }


def rewrite_standing(change: Change, row: RowMapping, standing: Standing, why: str | None) -> bool:
    """Let a reading count, or not, with the reason; whether that was a change."""
    if (row["standing"], row["standing_why"]) == (standing.value, why):
        return False
    change.edit(schema.reading, row["id"], standing=standing.value, standing_why=why)
    return True


def rewrite_note(change: Change, row: RowMapping, text: str | None) -> None:
    """Put one text in the place of all notes of a reading; None leaves it without."""
    first, *others = _beside(change, schema.note, row["uid"]) or [None]
    if first is None:
        if text:
            change.add(schema.note, tbl="reading", row_uid=row["uid"], text=text)
        return
    if text:
        change.edit(schema.note, first["id"], text=text)
    else:
        change.delete(schema.note, first["id"])
    for other in others:
        if other is not None:
            change.delete(schema.note, other["id"])


def rewrite_tags(change: Change, person: Person, row: RowMapping, labels: Sequence[str]) -> None:
    """Let a reading have these tags and no others."""
    wanted = {tag_labelled(change, person, label): label for label in labels}
    there = _beside(change, schema.tag_on, row["uid"])
    for one in there:
        if one["tag_id"] not in wanted:
            change.delete(schema.tag_on, one["id"])
    known = {one["tag_id"] for one in there}
    for tag_id in wanted:
        if tag_id not in known:
            change.add(schema.tag_on, tag_id=tag_id, tbl="reading", row_uid=row["uid"])


def keeper_id(change: Change, name: str | None) -> int | None:
    """The local id of a keeper by name, added where there is none; None for nobody."""
    return None if name is None else keeper_named(change, name)


def into_the_bin(change: Change, row: RowMapping) -> None:
    """Put a reading into the bin, its notes and tags with it."""
    for table in (schema.note, schema.tag_on):
        for one in _beside(change, table, row["uid"]):
            change.delete(table, one["id"])
    change.delete(schema.reading, row["id"])


def _beside(change: Change, table: Table, uid: bytes) -> list[RowMapping]:
    found = change.connection.execute(
        select(table)
        .where(table.c.row_uid == uid, table.c.tbl == "reading", table.c.deleted_at.is_(None))
        .order_by(table.c.id)
    )
    return list(found.mappings().all())
