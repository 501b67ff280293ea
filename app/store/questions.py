"""The questions that a person asked of the diary."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.domain.person import Person
from app.store import schema
from app.store.diary import Diary

if TYPE_CHECKING:
    from app.store.journal import Change

_ASKED = (
    "SELECT spec FROM question WHERE person_id = ? AND deleted_at IS NULL ORDER BY asked_at, id"
)


def questions_asked(diary: Diary, person: Person) -> tuple[str, ...]:
    """What was asked, as JSON texts, the first one before; each different one once."""
    with diary.driver() as driver:
        return tuple(dict.fromkeys(spec for (spec,) in driver.execute(_ASKED, (person.id,))))


def write_question(change: Change, person: Person, spec: str) -> int:
    """Write a question down at the time of the change; returns its local id."""
    return change.add(schema.question, person_id=person.id, spec=spec, asked_at=change.at)
