"""Small invented diaries for tests: a person, readings, a fixed clock."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

from app.domain.clock import moment_at, offsets_of
from app.domain.glucose import Bound, Glucose, Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import NewReading, Standing
from app.store.diary import Diary
from app.store.diary_file import create_diary, open_diary
from app.store.people import persons
from app.store.readings import write_reading
from app.work.people import add_person
from sample_db.build import OUT

NOW = datetime(2026, 3, 12, 21, 30, tzinfo=UTC)
INSTALLATION = UUID("6d1f6a5e-52a1-4c5e-9c5d-6a1f0b6b2f11")


def new_diary(folder: Path, name: str = "diary.thimblebook") -> Diary:
    """Make an empty diary in a folder."""
    return create_diary(folder / name, INSTALLATION, now=NOW)


def tilde(diary: Diary, *, day_start: int = 0, targets: str | None = None) -> Person:
    """Add a child tested in mmol/L."""
    return add_person(
        diary,
        "Tilde",
        unit="mmol/L",
        zone="Europe/Lisbon",
        now=NOW,
        day_start=day_start,
        targets=targets,
    )


def corwin(diary: Diary, *, targets: str | None = None) -> Person:
    """Add an adult tested in mg/dL."""
    return add_person(
        diary, "Corwin", unit="mg/dL", zone="America/Chicago", now=NOW, targets=targets
    )


def result(value: str, unit: Unit) -> Glucose:
    """A result from short text: "5.6", "LO", "HI", "<20", ">600"."""
    if value in ("LO", "HI"):
        return Glucose(None, unit, Bound.BELOW if value == "LO" else Bound.ABOVE)
    if value[0] in "<>":
        return Glucose(value[1:], unit, Bound.BELOW if value[0] == "<" else Bound.ABOVE)
    return Glucose(value, unit)


def written(
    diary: Diary,
    person: Person,
    at: str,
    value: str,
    mark: Mark = Mark.NONE,
    *,
    unit: Unit | None = None,
    standing: Standing = Standing.COUNTED,
    hands: str = "unknown",
    after_min: int | None = None,
    note: str | None = None,
    tags: tuple[str, ...] = (),
) -> UUID:
    """Write one reading at a wall time of the person's own zone."""
    wall = datetime.fromisoformat(at)
    moment = moment_at(wall, person.zone, offsets_of(wall, person.zone)[0])
    new = NewReading(
        glucose=result(value, unit or person.unit),
        moment=moment,
        mark=mark,
        after_min=after_min,
        hands=hands,
        standing=standing,
        standing_why=None if standing is Standing.COUNTED else "for a test",
        note=note,
        tags=tags,
    )
    with diary.change("enter", {"reading": f"{value}, {at}"}, now=NOW, person=person) as change:
        return write_reading(change, person, new, origin="typed")


@contextmanager
def sample_of(folder: Path, name: str) -> Iterator[tuple[Diary, Person]]:
    """A copy of the sample diary, and one of its people."""
    copy = folder / "sample.thimblebook"
    copy.write_bytes(OUT.read_bytes())
    copy.chmod(0o600)
    with open_diary(copy, INSTALLATION) as diary:
        yield diary, next(each for each in persons(diary) if each.name == name)
