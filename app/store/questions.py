"""The questions that a person asked of the diary."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.domain.person import Person
from app.store import schema
from app.store.diary import Diary

if TYPE_CHECKING:
    from app.store.journal import Change

_ASKED = (
    "SELECT spec, asked_at FROM question WHERE person_id = ? AND deleted_at IS NULL"
    " ORDER BY asked_at, id"
)


def questions_asked(diary: Diary, person: Person) -> tuple[str, ...]:
    """What was asked, as JSON texts, the first one before; each different one once."""
    return tuple(spec for spec, _ in questions_with_times(diary, person))


def questions_with_times(diary: Diary, person: Person) -> tuple[tuple[str, int], ...]:
    """The same, each with the UTC second at which it was asked first."""
    first: dict[str, int] = {}
    with diary.driver() as driver:
        for spec, asked_at in driver.execute(_ASKED, (person.id,)):
            first.setdefault(spec, asked_at)
    return tuple(first.items())


def write_question(change: Change, person: Person, spec: str) -> int:
    """Write a question down at the time of the change; returns its local id."""
    return change.add(schema.question, person_id=person.id, spec=spec, asked_at=change.at)
