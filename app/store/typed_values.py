"""The results that were typed by hand, counted by what was typed."""

from __future__ import annotations

from app.domain.glucose import Unit
from app.domain.person import Person
from app.store.connection import rows_of
from app.store.diary import Diary

# A day sheet is typed from paper too. Somebody else's results say nothing about who writes here.
_TYPED = (
    "SELECT value, unit, count(*) AS many FROM reading WHERE person_id = ? AND deleted_at IS NULL"
    " AND origin IN ('typed', 'sheet') AND bound = 'exact' AND standing != 'not_mine'"
    " GROUP BY value, unit ORDER BY unit, value"
)


def typed_values(diary: Diary, person: Person) -> tuple[tuple[str, Unit, int], ...]:
    """Every value as it was typed, the unit it was typed in, and how often."""
    with diary.driver() as driver:
        rows = rows_of(driver, _TYPED, (person.id,))
    return tuple((row["value"], Unit(row["unit"]), row["many"]) for row in rows)
