"""The words of their own that a person marks readings, events and days with."""

from __future__ import annotations

from app.domain.person import Person
from app.domain.written import Tagged
from app.store.diary import Diary

_LABELS = "SELECT label FROM tag WHERE person_id = ? AND deleted_at IS NULL ORDER BY rank, label"

_DATED = """
    SELECT t.label, o.tbl, r.id, r.day - (r.minute < :start) first_day,
        r.day - (r.minute < :start) last_day
    FROM tag t JOIN tag_on o ON o.tag_id = t.id AND o.tbl = '{0}' AND o.deleted_at IS NULL
    JOIN {0} r ON r.uid = o.row_uid AND r.deleted_at IS NULL AND r.instant IS NOT NULL
    WHERE t.person_id = :person AND t.deleted_at IS NULL
"""
_SPANS = """
    SELECT t.label, o.tbl, r.id, r.from_day first_day, r.to_day last_day
    FROM tag t JOIN tag_on o ON o.tag_id = t.id AND o.tbl = 'span' AND o.deleted_at IS NULL
    JOIN span r ON r.uid = o.row_uid AND r.deleted_at IS NULL
    WHERE t.person_id = :person AND t.deleted_at IS NULL
"""
_ALL = " UNION ALL ".join((_DATED.format("reading"), _DATED.format("event"), _SPANS))
_TAGGED = f"{_ALL} ORDER BY 4, 2, 3, 1"


def tag_labels(diary: Diary, person: Person) -> tuple[str, ...]:
    """The tags that this person has used."""
    with diary.driver() as driver:
        return tuple(label for (label,) in driver.execute(_LABELS, (person.id,)))


def tags_of(diary: Diary, person: Person) -> tuple[Tagged, ...]:
    """Every tag on a dated reading, an event or a stretch of days, the first day first."""
    values = {"person": person.id, "start": person.day_start * 60}
    with diary.driver() as driver:
        rows = driver.execute(_TAGGED, values).fetchall()
    return tuple(Tagged(*row) for row in rows)
