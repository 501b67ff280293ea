"""What else went on between two days: vials opened, meters taken up, clocks repaired, visits.

And what may leave the diary of what was written beside its readings.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from app.domain.person import Person
from app.store.connection import rows_of
from app.store.diary import Diary

# A vial without a person is everybody's; one put into a meter of somebody else is not.
_VIALS = """
    SELECT v.opened_day AS day, v.lot AS name, (
        SELECT group_concat(m.name, ', ') FROM vial_use u JOIN meter m ON m.id = u.meter_id
        WHERE u.vial_id = v.id AND u.deleted_at IS NULL AND m.deleted_at IS NULL
    ) AS meter
    FROM vial v
    WHERE v.deleted_at IS NULL AND v.kind = 'glucose' AND v.opened_day BETWEEN ? AND ?
    AND (v.person_id = ? OR v.person_id IS NULL) ORDER BY v.opened_day, v.id
"""
_METERS = """
    SELECT first_day AS day, name FROM meter WHERE deleted_at IS NULL
    AND first_day BETWEEN ? AND ? AND (person_id = ? OR person_id IS NULL) ORDER BY first_day, id
"""
_REPAIRED = """
    SELECT min(r.day) AS day, max(r.day) AS last_day, m.name AS name, count(*) AS n
    FROM reading r JOIN clock_repair c ON c.id = r.clock_repair_id JOIN meter m ON m.id = c.meter_id
    WHERE r.day BETWEEN ? AND ? AND r.person_id = ? AND r.deleted_at IS NULL
    AND c.deleted_at IS NULL GROUP BY c.id ORDER BY 1, c.id
"""
_VISITS = """
    SELECT day, outcome FROM visit WHERE day BETWEEN ? AND ? AND person_id = ?
    AND deleted_at IS NULL ORDER BY day, id
"""
_KEEPERS = "SELECT name FROM keeper WHERE deleted_at IS NULL ORDER BY id"
# A note for one copy of the diary alone stays in that copy.
_OPEN_NOTES = """
    SELECT r.id, n.text FROM note n CROSS JOIN reading r ON r.uid = n.row_uid
    WHERE n.tbl = 'reading' AND n.deleted_at IS NULL AND n.private_copy IS NULL
    AND r.person_id = ? AND r.deleted_at IS NULL AND r.day BETWEEN ? AND ? ORDER BY n.id
"""


@dataclass(frozen=True, slots=True)
class KitDate:
    """A vial opened or a meter taken up on a day (a date ordinal); `meter` a vial's meters."""

    kind: Literal["vial", "meter"]
    day: int
    name: str
    meter: str | None = None


@dataclass(frozen=True, slots=True)
class Repaired:
    """Readings whose clock was repaired: of which meter, how many, from which day to which."""

    meter: str
    n: int
    first_day: int
    last_day: int


@dataclass(frozen=True, slots=True)
class Visit:
    """A visit to the care team on a day (a date ordinal), and what came of it."""

    day: int
    outcome: str | None


def kit_dates(diary: Diary, person: Person, first_day: int, last_day: int) -> tuple[KitDate, ...]:
    """Vials of glucose strips opened and meters taken up on these days, both ends included."""
    values = (first_day, last_day, person.id)
    with diary.driver() as driver:
        vials = rows_of(driver, _VIALS, values)
        meters = rows_of(driver, _METERS, values)
    found = [KitDate("vial", row["day"], row["name"] or "", row["meter"]) for row in vials]
    found += [KitDate("meter", row["day"], row["name"]) for row in meters]
    return tuple(sorted(found, key=lambda each: each.day))


def repaired_between(
    diary: Diary, person: Person, first_day: int, last_day: int
) -> tuple[Repaired, ...]:
    """Stretches of readings of these days, both included, whose clock was repaired."""
    with diary.driver() as driver:
        rows = rows_of(driver, _REPAIRED, (first_day, last_day, person.id))
    return tuple(Repaired(row["name"], row["n"], row["day"], row["last_day"]) for row in rows)


def visits_between(
    diary: Diary, person: Person, first_day: int, last_day: int
) -> tuple[Visit, ...]:
    """The visits of these days, both included, by day."""
    with diary.driver() as driver:
        rows = rows_of(driver, _VISITS, (first_day, last_day, person.id))
    return tuple(Visit(row["day"], row["outcome"]) for row in rows)


def keeper_names(diary: Diary) -> tuple[str, ...]:
    """The names of all who write in the diary."""
    with diary.driver() as driver:
        return tuple(row["name"] for row in rows_of(driver, _KEEPERS))


def open_notes(diary: Diary, person: Person, first_day: int, last_day: int) -> dict[int, str]:
    """Notes on readings of these days, both included, by local id; private ones are left out."""
    found: dict[int, str] = {}
    with diary.driver() as driver:
        for row in rows_of(driver, _OPEN_NOTES, (person.id, first_day, last_day)):
            found[row["id"]] = " ".join(filter(None, (found.get(row["id"]), row["text"])))
    return found
