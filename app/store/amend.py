"""Readings that are there already: looked up again, and their notes, tags and keeper rewritten."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import RowMapping, Table, select

from app.domain.glucose import Glucose
from app.domain.person import Person
from app.store import schema
from app.store.diary import Reader
from app.store.journal import Change
from app.store.readings import keeper_named, tag_labelled
from app.store.rows import rows_with

Row = RowMapping  # a row in hand, for those who need not know what it is

_AT_ONCE = 500  # rows asked for in one IN list


def held(connection: Reader, person: Person, ids: Iterable[int]) -> list[Row]:
    """Those of the person's readings that are still in the diary, by local id."""
    table = schema.reading
    wanted = sorted(set(ids))
    found: list[Row] = []
    for start in range(0, len(wanted), _AT_ONCE):
        rows = connection.execute(
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


def glucose_fields(glucose: Glucose, *, odd_ok: bool) -> dict[str, Any]:
    """The columns of a result."""
    return {
        "bound": glucose.bound.value,
        "value": glucose.value,
        "unit": glucose.unit.value,
        "mg_dl": glucose.mg_dl,
        "odd_ok": int(odd_ok),
    }


def rewrite(change: Change, row: Row, fields: Mapping[str, Any]) -> bool:
    """Change columns of a reading, its raw stamp never among them; whether that was a change."""
    if all(row[name] == value for name, value in fields.items()):
        return False
    change.edit(schema.reading, row["id"], before=row, **fields)
    return True


def rewrite_note(
    change: Change, row: Row, text: str | None, *, private: bool | None = None
) -> bool:
    """Put one text in the place of all notes of a reading; None leaves it without.

    `private` keeps it for this copy of the diary alone, or lets it go with the diary; None leaves
    that as it is. What another copy keeps to itself is left alone.
    """
    own = (None, change.copy_id)
    notes = [note for note in _beside(change, schema.note, row) if note["private_copy"] in own]
    if not (text or notes):
        return False
    was_private = any(note["private_copy"] is not None for note in notes)
    private = was_private if private is None else private
    if "\n".join(note["text"] for note in notes) == (text or "") and private == was_private:
        return False
    kept_for = change.copy_id if private else None
    if text and notes:
        change.edit(schema.note, notes[0]["id"], text=text, private_copy=kept_for)
    elif text:
        change.add(schema.note, tbl="reading", row_uid=row["uid"], text=text, private_copy=kept_for)
    for note in notes[1:] if text else notes:
        change.delete(schema.note, note["id"])
    return True


def rewrite_tags(change: Change, person: Person, row: Row, labels: Sequence[str]) -> bool:
    """Let a reading have these tags and no others."""
    wanted = dict.fromkeys(tag_labelled(change, person, label) for label in labels)
    there = {one["tag_id"]: one["id"] for one in _beside(change, schema.tag_on, row)}
    for tag_id in there.keys() - wanted.keys():
        change.delete(schema.tag_on, there[tag_id])
    for tag_id in wanted:
        if tag_id not in there:
            change.add(schema.tag_on, tag_id=tag_id, tbl="reading", row_uid=row["uid"])
    return there.keys() != wanted.keys()


def keeper_id(change: Change, name: str | None) -> int | None:
    """The local id of a keeper by name, added where there is none; None for nobody."""
    return None if name is None else keeper_named(change, name)


def rewrite_all(change: Change, rows: Iterable[tuple[Row, Mapping[str, Any]]]) -> None:
    """Change columns of many readings, each given as it is, in one go."""
    change.edit_all(schema.reading, rows)


def into_the_bin(change: Change, rows: Sequence[Row | Mapping[str, Any]]) -> None:
    """Put readings into the bin, their notes and tags with them.

    Help that was tied to one of them was needed all the same: it stays, without a reading.
    """
    uids = [row["uid"] for row in rows]
    tied = rows_with(
        change.connection,
        schema.help_record,
        "reading_id",
        [row["id"] for row in rows],
        where="deleted_at IS NULL",
    )
    change.edit_all(schema.help_record, [(each, {"reading_id": None}) for each in tied])
    for table in (schema.note, schema.tag_on):
        hanging = rows_with(
            change.connection,
            table,
            "row_uid",
            uids,
            where="tbl = 'reading' AND deleted_at IS NULL",
        )
        change.delete_all(table, hanging)
    change.delete_all(schema.reading, rows)


def _beside(change: Change, table: Table, row: Row) -> list[Row]:
    found = change.connection.execute(
        select(table)
        .where(
            table.c.row_uid == row["uid"], table.c.tbl == "reading", table.c.deleted_at.is_(None)
        )
        .order_by(table.c.id)
    )
    return list(found.mappings().all())
