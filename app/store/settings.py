"""A person's settings by key, as JSON, each from a day on or for always."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from app.domain.person import Person
from app.store import schema
from app.store.connection import rows_of
from app.store.diary import Diary

if TYPE_CHECKING:
    from app.store.journal import Change

REMINDERS, DRIVING = "reminders", "driving_rule"

_SETTING = (
    "SELECT value FROM person_setting WHERE person_id = ? AND key = ? AND deleted_at IS NULL"
    " ORDER BY from_day IS NOT NULL, from_day, id"
)
_HELD = (
    "SELECT * FROM person_setting WHERE person_id = ? AND key = ? AND from_day IS NULL"
    " AND deleted_at IS NULL"
)


def setting_of(diary: Diary, person: Person, key: str) -> Any:
    """The newest value of a setting; None where it was never made or is no JSON."""
    with diary.driver() as driver:
        rows = rows_of(driver, _SETTING, (person.id, key))
    try:
        return json.loads(rows[-1]["value"]) if rows else None
    except ValueError:
        return None


def write_setting(change: Change, person: Person, key: str, value: Any) -> None:
    """Write a setting that holds always, in place of the one before."""
    text = json.dumps(value, ensure_ascii=False, sort_keys=True)
    held = change.connection.exec_driver_sql(_HELD, (person.id, key)).mappings().first()
    if held is None:
        change.add(schema.person_setting, person_id=person.id, key=key, value=text)
    else:
        change.edit(schema.person_setting, held["id"], before=held, value=text)
