"""Texts of the care team in the file, kind by kind."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.domain.person import Person
from app.store import schema

if TYPE_CHECKING:
    from app.store.journal import Change

_HELD = (
    "SELECT * FROM care_text WHERE person_id = ? AND replace(kind, '_', ' ') = ?"
    " AND from_day IS ? AND deleted_at IS NULL ORDER BY id DESC"
)


def write_care_text(
    change: Change, person: Person, kind: str, text: str, *, from_day: int | None
) -> None:
    """Write a text in place of that of the same first day (a date ordinal; None: always)."""
    values = (person.id, kind, from_day)
    held = change.connection.exec_driver_sql(_HELD, values).mappings().all()
    if held and text:
        change.edit(schema.care_text, held[0]["id"], before=held[0], text=text)
    elif held:
        change.delete_all(schema.care_text, held)
    elif text:
        change.add(schema.care_text, person_id=person.id, kind=kind, text=text, from_day=from_day)
