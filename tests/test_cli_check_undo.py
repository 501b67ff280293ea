from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.commands import Terminal


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    return made


def values(terminal: Terminal) -> list[str]:
    return [each["value"] for each in terminal.ok("list", "--json").json]


def test_a_sound_diary_is_said_to_be_sound(terminal: Terminal) -> None:
    terminal.ok("add", "7.2 7:05")

    assert terminal.ok("check").out == (
        "The file is sound: 1 person, 1 reading, 2 changes in the journal.\n"
    )
    assert terminal.ok("check", "--json").json == {
        "persons": 1, "readings": 1, "changes": 2, "wrong": [],
    }  # fmt: skip


@pytest.mark.parametrize(
    ("spoil", "wrong"),
    [
        ("UPDATE reading SET mg_dl = 131.0", "1 readings disagree with their value in mg/dL"),
        ("UPDATE reading SET minute = 5", "1 readings disagree with their local day or time"),
        ("UPDATE reading SET day = day + 1", "1 readings disagree with their local day or time"),
        ("UPDATE copy SET last_no = 7", "the journal of one copy has 2 entries and ends at 2, not"),
        ("UPDATE reading SET person_id = 99", "1 rows belong to something that is not there"),
    ],
)
def test_a_diary_that_contradicts_itself_is_not_called_sound(
    terminal: Terminal, spoil: str, wrong: str
) -> None:
    terminal.ok("add", "7.2 7:05")
    with closing(sqlite3.connect(terminal.diary)) as connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        connection.execute(spoil)
        connection.commit()

    plain, as_json = terminal.type("check"), terminal.type("check", "--json")

    assert (plain.code, plain.out) == (1, "")
    assert wrong in plain.err
    assert "Nothing was changed" in plain.err
    assert as_json.code == 1
    assert wrong in "; ".join(as_json.json["wrong"])


def test_undo_goes_back_one_change_at_a_time(terminal: Terminal) -> None:
    file = terminal.folder / "meter.csv"
    file.write_text("Date,Time,Glucose (mmol/L)\n2026-03-01,07:00,6.2\n2026-03-02,07:00,7.9\n",
                    encoding="utf-8")  # fmt: skip
    terminal.ok("add", "7.2 7:05")
    terminal.ok("import", str(file))
    terminal.ok("person", "targets", "ispad-2022")

    said = [terminal.ok("undo").out for _ in range(4)]

    assert said == [
        'Taken back: the goals "ISPAD 2022, children and young people" are no longer in force.\n',
        "Taken back: the import of meter.csv; 2 rows are in the bin.\n",
        "Taken back: the reading 7.2 mmol/L, 2026-03-12 07:05 is in the bin.\n",
        "Taken back: Tilde is no longer in the diary.\n",
    ]
    last = terminal.type("undo")
    assert (last.code, last.err) == (1, "There is nothing to take back; nothing was changed.\n")
    assert terminal.ok("check").out.startswith("The file is sound: 0 persons, 0 readings, ")


def test_undo_takes_back_changes_of_the_person_who_is_named(terminal: Terminal) -> None:
    terminal.ok("person", "add", "Corwin", "--unit", "mg/dL", "--zone", "America/Chicago")
    terminal.ok("--person", "Tilde", "add", "7.2 7:05")
    terminal.ok("--person", "Corwin", "add", "112 7:05")

    assert terminal.type("undo").code == 1
    terminal.ok("--person", "Tilde", "undo")

    assert terminal.ok("--person", "Tilde", "list", "--json").json == []
    assert len(terminal.ok("--person", "Corwin", "list", "--json").json) == 1


def test_a_reading_taken_back_can_be_typed_again(terminal: Terminal) -> None:
    for _ in range(2):
        terminal.ok("add", "7.2 7:05 #run slept badly")
        assert values(terminal) == ["7.2"]
        terminal.ok("undo")
        assert values(terminal) == []


def test_changes_of_another_computer_are_not_taken_back(terminal: Terminal) -> None:
    terminal.ok("add", "7.2 7:05")
    shutil.rmtree(terminal.folder / "state")  # as on another computer

    done = terminal.type("undo")

    assert (done.code, done.err) == (1, "There is nothing to take back; nothing was changed.\n")
    assert values(terminal) == ["7.2"]
