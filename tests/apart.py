"""Two computers that change their copies of one diary apart, by what people do."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

from app.domain.clock import moment_at, offsets_of
from app.domain.errors import DiaryError
from app.domain.glucose import Unit
from app.domain.marks import MARKS
from app.domain.person import Person
from app.domain.reading import NewReading
from app.exchange.table import read_table
from app.store import schema
from app.store.bin import look_into
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.emptying import empty
from app.store.history import BIN_EMPTIED
from app.store.people import persons, persons_ever
from app.store.readings import readings_of, write_reading
from app.store.together import bring_together
from app.store.together_counts import Brought
from app.store.together_file import other_copy
from app.work.bin import in_bin, restore_from_bin
from app.work.bring_in import File, bring_in
from app.work.edit import Edit, edit_reading, put_in_bin, set_aside
from app.work.retype import typed_value
from app.work.take_back import redo_last, undo_last
from tests.households import INSTALLATION, NOW, result

A, B = INSTALLATION, UUID("0b0f7a52-58c4-4b3e-8f0f-6a5d5f1f7c33")
FIRST = datetime.fromisoformat("2026-03-01T07:00")  # a wall time
LABELS = ("swim", "school", "ill")
NAMES = ("Bram", "Odalys", "Ms Ardley")
VALUES = ("4.1", "5.6", "7.2", "8.1", "18.1", "LO")


@dataclass(frozen=True, slots=True)
class Act:
    """One thing that somebody does: what, to which reading (counted round), with what."""

    what: str
    which: int = 0
    how: int = 0


@contextmanager
def on(path: Path, computer: UUID) -> Iterator[tuple[Diary, Person]]:
    """The diary at a path as a computer has it open, and who was added to it first."""
    with open_diary(path, computer) as diary:
        yield diary, persons_ever(diary)[0]


def do(diary: Diary, person: Person, act: Act, *, now: datetime) -> None:
    """Do it; what can't be done just now is not done."""
    if act.what not in ("undo", "redo", "restore") and not persons(diary):
        return
    there = readings_of(diary, person)
    which = there[act.which % len(there)] if there else None
    value = VALUES[act.how % len(VALUES)]
    with suppress(DiaryError):
        if act.what == "add":
            wall = FIRST + timedelta(minutes=7 * (act.which % 12))
            at = moment_at(wall, person.zone, offsets_of(wall, person.zone)[0])
            new = NewReading(glucose=result(value, Unit.MMOL_L), moment=at)
            with diary.change("enter", {}, now=now, person=person) as change:
                write_reading(change, person, new, origin="typed")
        elif act.what == "file":
            text = _file(act.how % 3).encode()
            file = File("meter.csv", text, read_table(text, None))
            bring_in(diary, person, file, now=now, recipe=None)
        elif act.what == "undo":
            undo_last(diary, person, now=now, edited="keep")
        elif act.what == "redo":
            redo_last(diary, person, now=now)
        elif act.what == "restore":
            items = in_bin(diary, person, now=now).items
            if items:
                restore_from_bin(diary, [items[act.which % len(items)].code], person, now=now)
        elif act.what == "empty":
            with diary.change(BIN_EMPTIED, {"count": 0}, now=now) as change:
                found = look_into(change.connection)
                empty(
                    change,
                    found,
                    [(name, key) for name, rows in found.rows.items() for key in rows],
                )
        elif which is not None:
            _to_a_reading(diary, person, which.id, act, value, now)


def _to_a_reading(
    diary: Diary, person: Person, row_id: int, act: Act, value: str, now: datetime
) -> None:
    if act.what == "bin":
        put_in_bin(diary, person, [row_id], now=now)
    elif act.what == "aside":
        set_aside(diary, person, [row_id], "hands", now=now)
    elif act.what == "private":
        with diary.change("note", {"text": f"mine {act.how}"}, now=now, person=person) as change:
            run = change.connection.exec_driver_sql
            uid = run("SELECT uid FROM reading WHERE id = ?", (row_id,)).scalar_one()
            own = run("SELECT id FROM copy WHERE uid = ?", (diary.installation.bytes,)).scalar_one()
            note = {"tbl": "reading", "row_uid": uid, "text": f"mine {act.how}"}
            change.add(schema.note, **note, private_copy=own)
    else:
        edits = {
            "value": Edit(value=typed_value(value, person, person.unit, now=now, sure=True)),
            "mark": Edit(mark=MARKS[act.how % len(MARKS)]),
            "note": Edit(note=f"text {act.how % 3}"),
            "tag": Edit(tags=(LABELS[act.how % 3],)),
            "keeper": Edit(keeper=NAMES[act.how % 3]),
        }
        edit_reading(diary, person, row_id, edits[act.what], now=now)


def apart(folder: Path, begun: Path, before: list[Act], mine: list[Act], other: list[Act]) -> None:
    """Let computer A begin at `folder`/a, and let both go on, each with its own copy."""
    shutil.copyfile(begun, folder / "a")
    _all(folder / "a", A, before, NOW)
    shutil.copyfile(folder / "a", folder / "b")
    _all(folder / "a", A, mine, NOW + timedelta(days=1))
    _all(folder / "b", B, other, NOW + timedelta(days=1))


def bring(path: Path, computer: UUID, other: Path) -> Brought:
    """Bring another copy into the diary at a path, without its backup."""
    now = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
    with on(path, computer) as (diary, _), other_copy(diary, other, now=now) as copy:
        return bring_together(diary, copy, now=now)


def _all(path: Path, computer: UUID, acts: list[Act], begin: datetime) -> None:
    with on(path, computer) as (diary, person):
        for number, act in enumerate(acts):
            do(diary, person, act, now=begin + timedelta(minutes=number))


def _file(longer: int) -> str:
    rows = [f"2026-02-0{day},07:00,{day}.2,{'slept badly' * (day == 3)}" for day in range(1, 6)]
    return "Date,Time,Glucose (mmol/L),Notes\n" + "\n".join(rows[: 3 + longer]) + "\n"
