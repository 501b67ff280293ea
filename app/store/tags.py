"""The words of their own that a person marks readings with."""

from __future__ import annotations

from app.domain.person import Person
from app.store.diary import Diary

_LABELS = "SELECT label FROM tag WHERE person_id = ? AND deleted_at IS NULL ORDER BY rank, label"


def tag_labels(diary: Diary, person: Person) -> tuple[str, ...]:
    """The tags that this person has used."""
    with diary.driver() as driver:
        return tuple(label for (label,) in driver.execute(_LABELS, (person.id,)))
