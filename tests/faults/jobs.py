"""The commands that are disturbed: how each is prepared, run, and what it promises afterwards."""

from __future__ import annotations

import shutil
import sqlite3
import sys
from collections.abc import Callable
from contextlib import closing
from datetime import datetime, timedelta
from functools import cached_property
from pathlib import Path
from typing import Protocol

from app.cli import main
from app.cli.surroundings import Surroundings
from app.domain.errors import DiaryError
from app.domain.marks import Mark
from app.store.diary_file import create_diary, open_diary
from app.store.people import persons
from app.store.readings import readings_of
from app.work import edit
from tests.faults.acks import Acks
from tests.faults.child import DONE, STOPPED
from tests.faults.promises import broken_in, one, rows
from tests.households import INSTALLATION, NOW, tilde, written

WATCHED = "watched"  # the folder of the diary; acknowledgements and the state lie beside it
MARKS = (Mark.WAKING, Mark.FASTING, Mark.BEDTIME, Mark.NIGHT)
FIRST_DAY = datetime(2020, 1, 1)  # noqa: DTZ001 - wall time, as a person types it


class Job(Protocol):
    """One command under trial.

    `fresh` asks for a new folder each time, where one run uses up what was prepared.
    """

    name: str
    fresh: bool

    def prepare(self, folder: Path) -> None:
        """Make what the command works on, undisturbed."""

    def run(self, folder: Path, acks: Acks, times: int) -> int:
        """Do it some times; 3 where one was refused in a sentence and the next one went well."""

    def broken(self, folder: Path, acks: Acks) -> list[str]:
        """Which promises do not hold, after the disturbance."""


def type_words(folder: Path, diary: Path, *words: str) -> int:
    """Type one command, as the composition root would run it."""
    state = folder / "state"
    around = Surroundings(NOW, diary, state, sys.stdout, sys.stderr)
    return main(words, around)


def in_turn(acks: Acks, times: int, do: Callable[[int], bool]) -> int:
    """Do it again and again; what is refused once is done once more, and must go well then.

    `do` is given the number of the try and says whether it was acknowledged.
    """
    code = DONE
    for _ in range(times):
        for second in (False, True):
            number = acks.next
            acks.begin(number)
            if do(number):
                acks.acknowledge(number)
                break
            code = STOPPED
            if second:
                raise RuntimeError("after a refusal the next try was refused too")
    return code


def diary_in(folder: Path) -> Path:
    """The diary of a trial."""
    return folder / WATCHED / "diary.thimblebook"


def with_readings(folder: Path, count: int) -> None:
    """Make a diary with one person and some readings."""
    diary_in(folder).parent.mkdir()
    with create_diary(diary_in(folder), INSTALLATION, now=NOW) as diary:
        person = tilde(diary)
        for number in range(count):
            at = FIRST_DAY + timedelta(minutes=number)
            written(diary, person, at.isoformat(), f"{5 + number % 40 / 10:.1f}")


class Add:
    """Readings one by one, by command."""

    name, fresh = "add", False

    def prepare(self, folder: Path) -> None:
        with_readings(folder, 0)

    def run(self, folder: Path, acks: Acks, times: int) -> int:
        def add(number: int) -> bool:
            at = (FIRST_DAY + timedelta(minutes=number)).isoformat(" ", "minutes")
            words = ("add", f"{5 + number % 40 / 10:.1f}", "--at", at, "--sure")
            return type_words(folder, diary_in(folder), *words) == 0

        return in_turn(acks, times, add)

    def broken(self, folder: Path, acks: Acks) -> list[str]:
        diary = diary_in(folder)
        wrong = broken_in(diary)
        if wrong:
            return wrong
        walls = [row[0] for row in rows(diary, "SELECT wall FROM reading")]
        found = {
            int((datetime.fromisoformat(wall) - FIRST_DAY).total_seconds()) // 60 for wall in walls
        }
        entries = one(diary, "SELECT count(*) FROM journal_entry WHERE kind = 'enter'")
        return [
            *_unless(not set(acks.done) - found, "an acknowledged reading is not there"),
            *_unless(found <= set(acks.tried), "a reading is there that nobody typed"),
            *_unless(len(found) == len(walls), "a reading is there twice"),
            *_unless(entries == len(walls), f"{len(walls)} readings, {entries} journal entries"),
        ]


class BulkEdit:
    """One mark for all readings at once, the diary open throughout as in the window."""

    name, fresh, count = "bulk edit", False, 80

    def prepare(self, folder: Path) -> None:
        with_readings(folder, self.count)

    def run(self, folder: Path, acks: Acks, times: int) -> int:
        with open_diary(diary_in(folder), INSTALLATION, state=folder / "state") as diary:
            person = persons(diary)[0]
            ids = [reading.id for reading in readings_of(diary, person, None)]

            def mark(number: int) -> bool:
                try:
                    edit.set_mark(diary, person, ids, MARKS[number % len(MARKS)], now=NOW)
                except DiaryError as problem:
                    print(problem, file=sys.stderr)
                    return False
                return True

            return in_turn(acks, times, mark)

    def broken(self, folder: Path, acks: Acks) -> list[str]:
        diary = diary_in(folder)
        wrong = broken_in(diary)
        if wrong:
            return wrong
        marks = {row[0] for row in rows(diary, "SELECT mark FROM reading")}
        # Acknowledged is the last one, and after it at most one that nobody heard of.
        last = max(acks.done, default=0)
        may_be = {number for number in acks.tried if number >= last} | {last}
        allowed = {MARKS[number % len(MARKS)].value if number else "" for number in may_be}
        if not acks.done:
            allowed |= {Mark.NONE.value}
        return [
            *_unless(len(marks) == 1, f"half an edit: {sorted(marks)}"),
            *_unless(marks <= allowed, f"an edit got lost: {sorted(marks)}"),
        ]


class Import:
    """A file of readings, and the same file again where it was not acknowledged."""

    name, fresh = "import", False

    def __init__(self, lines: int, sources: Path) -> None:
        self.lines = lines
        self.sources = sources  # files to bring in: on a disk that is not disturbed

    def prepare(self, folder: Path) -> None:
        with_readings(folder, 0)

    def run(self, folder: Path, acks: Acks, times: int) -> int:
        def bring_in(number: int) -> bool:
            file = self._file(number)
            words = ("import", str(file), "--unit", "mmol/L", "--date-order", "ymd")
            return type_words(folder, diary_in(folder), *words) == 0

        if set(acks.tried) - set(acks.done):  # first the one that nobody knows of
            bring_in(max(acks.tried))
        return in_turn(acks, times, bring_in)

    def broken(self, folder: Path, acks: Acks) -> list[str]:
        diary = diary_in(folder)
        wrong = broken_in(diary)
        if wrong:
            return wrong
        batches = rows(
            diary,
            "SELECT b.name, b.new, (SELECT count(*) FROM reading r WHERE r.import_id = b.id),"
            " b.seen = b.new + b.already + b.refused + b.held FROM import_batch b",
        )
        whole = {name for name, new, there, _ in batches if new == there == self.lines}
        readings = one(diary, "SELECT count(*) FROM reading")
        keys = one(diary, "SELECT count(DISTINCT source_key) FROM reading")
        return [
            *_unless(all(new == there for _, new, there, _ in batches), "half an import"),
            *_unless(all(adds_up for *_, adds_up in batches), "an account does not add up"),
            *_unless({f"{n}.csv" for n in acks.done} <= whole, "an import got lost"),
            *_unless(readings == sum(new for _, new, *_ in batches), "rows of no import"),
            *_unless(readings == keys, "a row is there twice"),
        ]

    def _file(self, number: int) -> Path:
        file = self.sources / f"{number}.csv"
        if not file.exists():
            day = FIRST_DAY + timedelta(days=40 * number)
            lines = [
                f"{at:%Y-%m-%d},{at:%H:%M},{4 + k % 90 / 10:.1f}"
                for k in range(self.lines)
                for at in [day + timedelta(minutes=5 * k)]
            ]
            file.write_text("date,time,value\n" + "\n".join(lines) + "\n")
        return file


class Create:
    """A new diary with its first person."""

    name, fresh = "create", True

    def prepare(self, folder: Path) -> None:
        (folder / WATCHED).mkdir()

    def run(self, folder: Path, acks: Acks, times: int) -> int:
        def create(number: int) -> bool:
            words = ("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
            return type_words(folder, self._diary(folder, number), *words) == 0

        return in_turn(acks, times, create)

    def broken(self, folder: Path, acks: Acks) -> list[str]:
        found: list[str] = []
        for number in acks.tried:
            diary = self._diary(folder, number)
            if not diary.exists():
                found += _unless(number not in acks.done, "an acknowledged diary is not there")
                continue
            found += broken_in(diary)
            if not found and number in acks.done:
                found += _unless(one(diary, "SELECT count(*) FROM person") == 1, "nobody in it")
        return found

    def _diary(self, folder: Path, number: int) -> Path:
        return folder / WATCHED / f"{number}.thimblebook"


class Migrate:
    """Diaries of an older version, opened and so brought up."""

    name, fresh, count = "migrate", True, 3

    def __init__(self, old: Path) -> None:
        self.old = old

    def prepare(self, folder: Path) -> None:
        for number in range(1, 2 * self.count + 1):
            self._diary(folder, number).parent.mkdir(parents=True)
            shutil.copy(self.old, self._diary(folder, number))

    def run(self, folder: Path, acks: Acks, times: int) -> int:
        def bring_up(number: int) -> bool:
            return type_words(folder, self._diary(folder, number), "person", "list") == 0

        return in_turn(acks, min(times, self.count), bring_up)

    def broken(self, folder: Path, acks: Acks) -> list[str]:
        """Wholly old or wholly new, and opening it once more always makes it new, rows and all."""
        found: list[str] = []
        for number in acks.tried:
            diary = self._diary(folder, number)
            found += broken_in(diary)
            if found:
                return found
            found += _unless(
                self._contents(diary) == self._said, "bringing it up changed what it says"
            )
        return found

    def _diary(self, folder: Path, number: int) -> Path:
        return folder / WATCHED / str(number) / "diary.thimblebook"

    def _contents(self, diary: Path) -> dict[str, list[tuple[object, ...]]]:
        """Every row of every table, in the columns that the old version has."""
        with closing(sqlite3.connect(diary)) as connection:
            return {
                table: connection.execute(f"SELECT {columns} FROM {table} ORDER BY id").fetchall()
                for table, columns in self._columns
            }

    @cached_property
    def _columns(self) -> list[tuple[str, str]]:
        return [
            (table, ", ".join(row[1] for row in rows(self.old, f"PRAGMA table_info({table})")))
            for (table,) in rows(
                self.old,
                "SELECT name FROM sqlite_master WHERE type = 'table'"
                " AND name NOT LIKE 'sqlite_%' AND name != 'alembic_version'",
            )
        ]

    @cached_property
    def _said(self) -> dict[str, list[tuple[object, ...]]]:
        return self._contents(self.old)


class Backup:
    """A reading, then a backup; each backup that was named must be good."""

    name, fresh = "backup", False

    def prepare(self, folder: Path) -> None:
        with_readings(folder, 40)

    def run(self, folder: Path, acks: Acks, times: int) -> int:
        def backup(number: int) -> bool:
            at = (FIRST_DAY + timedelta(days=1, minutes=number)).isoformat(" ", "minutes")
            type_words(folder, diary_in(folder), "add", "5.6", "--at", at, "--sure")
            return type_words(folder, diary_in(folder), "backup") == 0

        return in_turn(acks, times, backup)

    def broken(self, folder: Path, acks: Acks) -> list[str]:
        from app.store.backup_facts import list_backups

        diary = diary_in(folder)
        wrong = broken_in(diary)
        if wrong:
            return wrong
        made = list_backups(diary)
        checked = [each for each in made if each.verified_at is not None]
        for each in checked:
            wrong += _broken_copy(each.path)
        return [
            *wrong,
            *_unless(len(checked) >= len(acks.done), "an acknowledged backup is not there"),
        ]


class Restore:
    """Back to a backup, and forward again to what was set aside."""

    name, fresh = "restore", True

    def prepare(self, folder: Path) -> None:
        with_readings(folder, 5)
        diary = diary_in(folder)
        shutil.copy(diary, folder / "small.thimblebook")
        with open_diary(diary, INSTALLATION) as opened:
            written(opened, persons(opened)[0], "2026-03-12 02:10", "2.9")
        shutil.copy(diary, folder / "large.thimblebook")

    def run(self, folder: Path, acks: Acks, times: int) -> int:
        def restore(number: int) -> bool:
            file = folder / ("large.thimblebook" if number % 2 == 0 else "small.thimblebook")
            return type_words(folder, diary_in(folder), "restore", str(file)) == 0

        return in_turn(acks, times, restore)

    def broken(self, folder: Path, acks: Acks) -> list[str]:
        diary = diary_in(folder)
        wrong = broken_in(diary)
        if wrong:
            return wrong
        count = one(diary, "SELECT count(*) FROM reading")
        last = max(acks.done, default=0)
        may_be = {number for number in acks.tried if number > last} | {last}
        allowed = {6 if number % 2 == 0 else 5 for number in may_be}
        aside = [
            each
            for each in diary.parent.rglob("*.thimblebook")
            if each != diary and not _broken_copy(each)
        ]
        everywhere = [count, *(one(each, "SELECT count(*) FROM reading") for each in aside)]
        return [
            *_unless(count in allowed, f"{count} readings after a restore"),
            # The larger diary was in its place first: it is there or set aside, always.
            *_unless(6 in everywhere, "the diary of before is gone"),
        ]


def jobs(*, lines: int, sources: Path) -> dict[str, Job]:
    """The commands that can be tried here, by name; imports have so many lines."""
    made: list[Job] = [Add(), BulkEdit(), Import(lines, sources), Create()]
    old = sorted((Path(__file__).parents[1] / "data" / "versions").glob("*.thimblebook"))
    if old:
        made.append(Migrate(old[0]))
    return {job.name: job for job in [*made, Backup(), Restore()]}


def _unless(holds: bool, what: str) -> list[str]:
    return [] if holds else [what]


def _broken_copy(path: Path) -> list[str]:
    found = rows(path, "PRAGMA integrity_check")
    return _unless(found == [("ok",)], f"a copy is damaged: {found[0][0]}")
