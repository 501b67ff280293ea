"""Which readings were linked with a written meal, and when that meal began."""

from __future__ import annotations

from app.domain.person import Person
from app.store.diary import Diary

_LINKED = (
    "SELECT r.id, e.instant FROM reading r JOIN event e ON e.id = r.meal_id"
    " WHERE r.person_id = ? AND r.deleted_at IS NULL AND e.deleted_at IS NULL"
    " AND e.instant IS NOT NULL"
)


def linked_meals(diary: Diary, person: Person) -> dict[int, int]:
    """The start (UTC seconds) of the meal that each reading, by its local id, is linked with."""
    with diary.driver() as driver:
        return dict(driver.execute(_LINKED, (person.id,)).fetchall())
