"""Goal 6: a file of 100,000 rows brought in, beside csv, conversion and one bare executemany."""

from __future__ import annotations

import csv
import shutil
import sqlite3
import sys
import tempfile
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

from app.domain.marks import SLOTS
from app.domain.person import Person
from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table
from app.store.diary import Diary
from app.store.diary_file import create_diary, open_diary
from app.store.imports import READING
from app.work.backup import backup_now
from app.work.bring_in import BroughtIn, File, bring_in
from app.work.people import add_person
from tests.bench.measure import alternated, report
from tests.bench.readings import INSTALLATION, NOW, invented

ROWS = 100_000
ROUNDS = 7
RECIPE = """
name = "kitchen"
delimiter = "comma"
unit = "mmol/L"
date_format = "YYYY-MM-DD"
time_format = "HH:MM"
zone = "Europe/Lisbon"

[columns]
date = "date"
time = "time"
value = "value"
mark = "meal"
"""
# Every hundredth row or so is one of these; the last is held, not refused.
BROKEN = (
    "2025-02-30,07:00,5.6,waking",
    "2025-02-28,27:00,5.6,waking",
    "2025-02-28,07:00,five,waking",
    "2025-02-28,07:00,0.3,waking",
)
_COLUMNS = ("uid", "born", "rev", *READING)


class Diaries:
    """Copies of one diary with one person in it, a fresh one for each round."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._first = folder / "first.thimblebook"
        with create_diary(self._first, INSTALLATION, now=NOW) as diary:
            self.person: Person = add_person(
                diary, "Tilde", unit="mmol/L", zone="Europe/Lisbon", now=NOW
            )
        self._made = 0

    def fresh(self) -> Path:
        """The path of one more copy."""
        self._made += 1
        return Path(shutil.copyfile(self._first, self._folder / f"{self._made}.thimblebook"))


def main() -> int:
    """Check what an import leaves in the diary, then measure; goal 2.5 times the floor."""
    with tempfile.TemporaryDirectory() as folder:
        diaries = Diaries(Path(folder))
        file, clean = _files(Path(folder))
        finished = _checked(diaries, file)
        opened = [open_diary(diaries.fresh(), INSTALLATION) for _ in range(ROUNDS + 1)]
        for diary in opened:  # the backup before it is measured in tests/bench/backup.py
            backup_now(diary, now=NOW)
        bare = [_bare(diaries.fresh()) for _ in range(ROUNDS + 1)]
        for_product, for_floor = iter(opened), iter(bare)
        found = alternated(
            {
                "floor": lambda: _floor(next(for_floor), clean, finished),
                "brought in": lambda: _brought_in(next(for_product), diaries.person, file),
            },
            rounds=ROUNDS,
        )
        for connection in bare:
            connection.close()
        for diary in opened:
            diary.close()
    return not report("100,000 rows brought in", found["brought in"], found["floor"], 2.5)


def _files(folder: Path) -> tuple[Path, Path]:
    """The file that is brought in, and the same one without its broken rows."""
    file, clean = folder / "kitchen.csv", folder / "clean.csv"
    good, head = list(_lines()), "date,time,value,meal\n"
    clean.write_text(head + "".join(good))
    for at in range(0, ROWS, 100):
        good[at] = f"{BROKEN[at // 100 % len(BROKEN)]}\n{good[at]}"
    file.write_text(head + "".join(good))
    return file, clean


def _lines() -> Iterator[str]:
    made = invented(ROWS)
    columns = (made[name].tolist() for name in ("day", "minute", "slot", "tenths"))
    for day, minute, slot, tenths in zip(*columns, strict=True):
        wall = f"{date.fromordinal(day)},{minute // 60:02}:{minute % 60:02}"
        yield f"{wall},{tenths / 10:.1f},{SLOTS[slot].words}\n"


def _brought_in(diary: Diary, person: Person, path: Path) -> BroughtIn:
    data = path.read_bytes()
    read = read_table(data, read_recipe(RECIPE, where="kitchen.toml"), unit_hint=person.unit)
    recipe = ("kitchen", RECIPE)
    return bring_in(diary, person, File(path.name, data, read), now=NOW, recipe=recipe)


def _bare(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA journal_mode = DELETE")
    connection.execute("PRAGMA synchronous = EXTRA")
    connection.execute("PRAGMA secure_delete = ON")
    return connection


def _floor(connection: sqlite3.Connection, path: Path, finished: list[tuple[Any, ...]]) -> None:
    with path.open(newline="") as lines:
        rows = csv.reader(lines)
        next(rows)
        converted = [
            (int(day[:4]), int(day[5:7]), int(day[8:]), int(clock[:2]), int(clock[3:]),
             float(value), meal)
            for day, clock, value, meal in rows
        ]  # fmt: skip
    assert len(converted) == len(finished)
    places = ", ".join("?" * len(_COLUMNS))
    connection.execute("BEGIN IMMEDIATE")
    connection.executemany(
        f"INSERT INTO reading ({', '.join(_COLUMNS)}) VALUES ({places})", finished
    )
    connection.execute("COMMIT")


def _checked(diaries: Diaries, file: Path) -> list[tuple[Any, ...]]:
    """Bring the file in twice, look at what is there, and give its rows as they were written."""
    path = diaries.fresh()
    with open_diary(path, INSTALLATION) as diary:
        first = _brought_in(diary, diaries.person, file)
        again = _brought_in(diary, diaries.person, file)
    broken = ROWS // 100
    account = first.account
    assert (account.new, account.already) == (ROWS, 0)
    assert (account.refused, account.held) == (broken - broken // 4, broken // 4)
    assert (again.account.new, again.account.already) == (0, ROWS)
    assert first.refused[0].why == 'the date "2025-02-30" is not in the calendar'
    with sqlite3.connect(path) as connection:
        finished = connection.execute(f"SELECT {', '.join(_COLUMNS)} FROM reading").fetchall()
        kept = connection.execute("SELECT count(*) FROM import_row").fetchone()[0]
    connection.close()
    assert (len(finished), kept) == (ROWS, broken)
    wanted = [line.rstrip("\n").split(",") for line in _lines()]
    at = {name: place for place, name in enumerate(_COLUMNS)}
    for row, (day, clock, value, meal) in zip(finished, wanted, strict=True):
        assert row[at["wall"]] == f"{day}T{clock}"
        assert row[at["value"]] == value
        assert row[at["mark"]] == meal.replace(" ", "_")
    return finished


if __name__ == "__main__":
    sys.exit(main())
