from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from app.domain.marks import Mark
from app.store.diary_file import open_diary
from app.store.installation import installation_id
from app.store.people import persons
from app.store.readings import readings_of
from app.work.edit import set_mark
from tests.commands import Terminal
from tests.households import NOW


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    made.ok("add", "7.2 7:05 shaky #run")
    return made


def values(terminal: Terminal) -> list[str]:
    return [each["value"] for each in terminal.ok("list", "--json").json]


def test_history_lists_the_newest_first_with_their_numbers(terminal: Terminal) -> None:
    terminal.ok("undo")

    assert terminal.ok("history", "-n", "2").out == (
        "    3  12 Mar 2026 21:30  Taken back: “The reading 7.2 mmol/L, 2026-03-12 07:05 was"
        " saved”.\n"
        "    2  12 Mar 2026 21:30  The reading 7.2 mmol/L, 2026-03-12 07:05 was saved."
        "  (taken back)\n"
    )
    first = terminal.ok("history", "--json").json[-1]
    assert first == {
        "entry": 1,
        "at": "2026-03-12T21:30:00+00:00",
        "kind": "person_add",
        "sentence": "Tilde was added.",
        "person": "Tilde",
        "by": "on this computer",
        "here": True,
        "state": "stands",
        "undoable": True,
        "emptied": False,
    }


def test_undo_and_redo_take_turns(terminal: Terminal) -> None:
    undone = terminal.ok("undo")
    redone = terminal.ok("redo")

    assert undone.out == "Taken back: the reading 7.2 mmol/L, 2026-03-12 07:05 is in the bin.\n"
    assert redone.out == "Done again: “The reading 7.2 mmol/L, 2026-03-12 07:05 was saved”.\n"
    assert values(terminal) == ["7.2"]
    assert terminal.type("redo").code == 1


def test_undo_of_an_entry_takes_that_alone(terminal: Terminal) -> None:
    terminal.ok("add", "8.4 8:05")

    terminal.ok("undo", "--entry", "2")

    assert values(terminal) == ["8.4"]
    assert terminal.type("undo", "--entry", "2").err == (
        "This change was taken back already. Nothing was changed.\n"
    )
    assert terminal.type("undo", "--entry", "two").code == 2


def test_a_question_about_edited_rows_says_the_words_that_answer_it(terminal: Terminal) -> None:
    file = terminal.folder / "meter.csv"
    file.write_text("Date,Time,Glucose (mmol/L)\n2026-03-01,07:00,6.2\n", encoding="utf-8")
    terminal.ok("import", str(file))
    entry = str(terminal.ok("history", "--json").json[0]["entry"])
    with open_diary(terminal.diary, installation_id(terminal.folder / "state")) as diary:
        (person,) = persons(diary)
        row = next(each for each in readings_of(diary, person) if each.glucose.value == "6.2")
        set_mark(diary, person, [row.id], Mark.WAKING, now=NOW)

    asked = terminal.type("undo", "--entry", entry)
    assert asked.code == 1
    assert asked.err.endswith("Answer with: --edited keep   or   --edited take-too\n")
    terminal.ok("undo", "--entry", entry, "--edited", "take-too")
    assert values(terminal) == ["7.2"]


def test_the_bin_lists_restores_and_empties(terminal: Terminal) -> None:
    terminal.ok("undo")

    listed = terminal.ok("bin")
    (item,) = terminal.ok("bin", "--json").json
    restored = terminal.ok("bin", "restore", item["code"])

    assert listed.out == (
        "    3  12 Mar 2026 21:30  Taken back: “The reading 7.2 mmol/L, 2026-03-12 07:05 was"
        " saved”.  (on this computer)\n"
        "       reading/1      the reading 7.2 mmol/L, 2026-03-12 07:05, with 1 note, 1 tag\n"
        "1 thing is in the bin; each can be restored until it is emptied.\n"
    )
    assert (item["along"], item["person"], item["old"]) == ("1 note, 1 tag", "Tilde", False)
    assert restored.out == "The reading 7.2 mmol/L, 2026-03-12 07:05 was taken out of the bin.\n"
    assert values(terminal) == ["7.2"]
    assert terminal.ok("bin").out == "The bin is empty.\n"


def test_everything_of_one_change_is_restored_by_its_number(terminal: Terminal) -> None:
    file = terminal.folder / "meter.csv"
    rows = "".join(f"2026-03-01,{hour:02}:00,6.{hour}\n" for hour in range(8))
    file.write_text(f"Date,Time,Glucose (mmol/L)\n{rows}", encoding="utf-8")
    terminal.ok("import", str(file))
    terminal.ok("undo")
    assert "and 3 more; all of them: bin restore --entry 4\n" in terminal.ok("bin").out

    terminal.ok("bin", "restore", "--entry", "4")

    assert len(values(terminal)) == 9


def test_emptying_by_command_needs_its_word(terminal: Terminal) -> None:
    terminal.ok("undo")

    asked = terminal.type("bin", "empty")
    assert (asked.code, asked.out) == (1, "")
    assert asked.err.startswith("This empties the bin for good: 1 reading and 3 other records")
    assert asked.err.endswith("Answer with: --sure\n")
    done = terminal.ok("bin", "empty", "--sure")
    assert done.out.startswith("The bin was emptied: 4 rows are gone for good. Backups made before")
    assert terminal.type("bin", "restore", "reading/1").code == 1
    assert terminal.ok("check").out.startswith("The file is sound")


def test_only_what_is_old_enough_is_emptied_with_old(terminal: Terminal) -> None:
    terminal.ok("undo")

    assert terminal.type("bin", "empty", "--old", "--sure").code == 1
    later = NOW + timedelta(days=90)
    assert "1 has been there for 90 days or more." in terminal.ok("bin", now=later).out
    assert "4 rows are gone" in terminal.ok("bin", "empty", "--old", "--sure", now=later).out


def test_undo_after_a_removal_is_about_the_one_who_was_removed(terminal: Terminal) -> None:
    terminal.ok("person", "add", "Corwin", "--unit", "mg/dL", "--zone", "America/Chicago")
    terminal.ok("--person", "Corwin", "add", "112 7:05")
    terminal.ok("person", "remove", "Tilde", "--name-again", "Tilde")

    undone = terminal.ok("undo")
    redone = terminal.ok("--person", "Tilde", "redo")
    again = terminal.ok("undo")

    assert (
        undone.out == again.out == ("Taken back: Tilde is in the diary again, with everything.\n")
    )
    assert redone.out == "Done again: “Tilde was put into the bin, with 1 reading”.\n"
    assert len(terminal.ok("--person", "Corwin", "list", "--json").json) == 1


def test_a_person_is_removed_by_typing_the_name_twice(terminal: Terminal) -> None:
    asked = terminal.type("person", "remove", "Tilde")
    terminal.ok("person", "remove", "tilde", "--name-again", "Tilde")

    assert asked.code == 1
    assert asked.err.endswith('Answer with: --name-again "Tilde"\n')
    assert terminal.ok("person", "list").out == ""
    assert terminal.ok("--person", "Tilde", "undo").out == (
        "Taken back: Tilde is in the diary again, with everything.\n"
    )
    assert values(terminal) == ["7.2"]


def test_who_writes_may_be_said_before_the_verb(terminal: Terminal) -> None:
    terminal.ok("--writer", "Maude", "add", "5.6 21:00")

    assert terminal.ok("history", "--json").json[0]["by"] == "Maude, on this computer"


def test_who_adds_a_person_is_kept_with_the_first_entry(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)

    terminal.ok("--writer", "Maude", "person", "add", "Tilde", "--unit", "mmol/L", "--zone", "UTC")
    refused = terminal.type(
        "--writer", " ", "person", "add", "Corwin", "--unit", "mg/dL", "--zone", "UTC"
    )

    first = terminal.ok("history", "--json").json[-1]
    assert first["by"] == "Maude, on this computer"
    assert refused.code == 1
    assert "Corwin" not in terminal.ok("person", "list").out
