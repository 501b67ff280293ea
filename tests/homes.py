"""Two homes with copies of one diary: each with a computer and a file of its own."""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from app.domain.person import Person
from app.store.check import check_file
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.installation import installation_id
from app.store.people import persons
from app.store.state_hash import state_hash
from app.work.edit import Edit, edit_reading, put_in_bin
from app.work.retype import typed_value
from tests.commands import Terminal

BEGIN = datetime(2026, 1, 5, 6, 0, tzinfo=UTC)
LATER = datetime(2026, 6, 1, 9, 0, tzinfo=UTC)


def home(folder: Path, name: str) -> Terminal:
    """A home of its own: a folder, and in it the state of its own computer."""
    place = folder / name
    place.mkdir()
    return Terminal(place, LATER)


@contextmanager
def opened(home: Terminal) -> Iterator[tuple[Diary, Person]]:
    """The diary of a home with its first person, as that home's own computer has it open."""
    with open_diary(home.diary, installation_id(home.folder / "state")) as diary:
        yield diary, persons(diary)[0]


def row_of(diary: Diary, wall: str) -> int:
    """The local id of the reading at a wall time."""
    with diary.driver() as driver:
        return int(driver.execute("SELECT id FROM reading WHERE wall = ?", (wall,)).fetchone()[0])


def csv_of(readings: Iterable[tuple[datetime, str]], path: Path) -> Path:
    """A plain file of readings in mmol/L, at UTC times."""
    lines = ["Date,Time,Glucose (mmol/L)"]
    lines += [f"{at:%Y-%m-%d},{at:%H:%M},{value}" for at, value in readings]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def spaced(n: int, begin: datetime, *, first: int = 0) -> list[tuple[datetime, str]]:
    """So many readings four hours apart, none of which looks like another."""
    return [(begin + timedelta(hours=4 * i), f"{4 + (first + i) % 97 / 10:.1f}") for i in range(n)]


def two_homes(folder: Path) -> tuple[Terminal, Terminal]:
    """Two homes with two pairs that are probably one, and one reading changed and deleted."""
    a, b = home(folder, "a"), home(folder, "b")
    a.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "UTC")
    for hour in ("08", "12", "18"):
        a.ok("add", f"8.1 2026-05-01 {hour}:00")
    copied(a, b)
    later = LATER + timedelta(hours=1)
    for hour in ("08", "12"):
        a.ok("add", f"6.4 2026-05-02 {hour}:00")
        b.ok("add", f"6.4 2026-05-02 {hour}:04", now=later)
    b.ok("add", "9.9 2026-05-03 07:00", now=later)
    with opened(a) as (diary, person):
        wrong = Edit(value=typed_value("18.1", person, person.unit, now=LATER))
        edit_reading(diary, person, row_of(diary, "2026-05-01T08:00"), wrong, now=LATER)
    with opened(b) as (diary, person):
        put_in_bin(diary, person, [row_of(diary, "2026-05-01T08:00")], now=later)
    return a, b


def copied(from_: Terminal, to: Terminal) -> None:
    """Give another home a copy of the file, as by a stick or a shared folder."""
    shutil.copyfile(from_.diary, to.diary)


def state(home: Terminal) -> str:
    """The hash of what a home's diary says."""
    with opened(home) as (diary, _):
        return state_hash(diary)


def is_sound(home: Terminal) -> bool:
    """Whether the full check finds nothing."""
    return check_file(home.diary).wrong == ()
