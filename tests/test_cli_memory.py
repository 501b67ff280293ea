from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.readings import readings_of
from app.work.edit import put_in_bin
from tests.commands import Terminal
from tests.households import INSTALLATION

JULY = datetime(2026, 7, 24, 9, tzinfo=UTC)
BEGUN = datetime(2026, 5, 1, 6, 50)  # noqa: DTZ001 - the wall time of a file, without a zone
HEAD = "Date,Time,Glucose (mmol/L),Meal\n"
CONTROLS = (20, 80, 140, 200)  # places of control tests among the records
OTHERS = (31, 32, 33)  # tried by somebody else
TYPED = (100, 101)  # written by hand as well
ACCOUNT = ("seen", "new", "already", "refused", "held")


def wall(place: int) -> datetime:
    return BEGUN + timedelta(hours=8 * place, minutes=place % 7)


def value(place: int) -> str:
    return f"{4 + place % 60 / 10:.1f}"


def a_memory(records: int) -> str:
    rows = (
        f"{wall(place):%Y-%m-%d,%H:%M},{value(place)},{'' if place in CONTROLS else 'waking'}\n"
        for place in range(records)
    )
    return HEAD + "".join(rows)


def a_file(terminal: Terminal, content: str, name: str = "blue.csv") -> str:
    path = terminal.folder / name
    path.write_text(content, encoding="utf-8")
    return str(path)


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    """A meter with four control tests written by hand, and two readings."""
    made = Terminal(tmp_path, now=JULY)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    made.ok("kit", "meter", "add", "blue", "--capacity", "250")
    for place in CONTROLS:
        at = wall(place) + timedelta(minutes=3)
        made.ok("kit", "control", value(place), "--meter", "blue", "--at", f"{at:%Y-%m-%d %H:%M}")
    for place in TYPED:
        at = wall(place) - timedelta(minutes=2)
        made.ok("add", value(place), "--at", f"{at:%Y-%m-%d %H:%M}")
    return made


def line(place: int) -> int:
    return place + 2


def account(found: Any) -> tuple[int, ...]:
    return tuple(found[name] for name in ACCOUNT)


def answers(places: tuple[int, ...], word: str) -> list[str]:
    return [part for place in places for part in ("--answer", f"{line(place)}={word}")]


def memory(terminal: Terminal, *, minutes: int = 0) -> Any:
    now = JULY + timedelta(minutes=minutes)
    (found,) = terminal.ok("memory", "--meter", "blue", "--json", now=now).json
    return found


def four(found: Any) -> tuple[int, ...]:
    return tuple(found[name] for name in ("total", "mine", "control", "not_mine", "not_copied"))


def test_may_i_clear_it(terminal: Terminal) -> None:
    file = a_file(terminal, a_memory(250))
    said = [*answers(CONTROLS, "control"), *answers(OTHERS, "not-mine")]

    first = terminal.ok("import", file, "--meter", "blue", *said, "--json").json
    not_yet = memory(terminal, minutes=1)

    assert account(first) == (250, 244, 4, 0, 2)
    assert [each["kind"] for each in first["asked"]] == ["probably_one", "probably_one"]
    assert four(not_yet) == (250, 241, 4, 3, 2)
    assert not_yet["answer"] == "not_yet"
    assert not_yet["says"] == "Not yet: 2 of 250 not copied."
    assert [each["line"] for each in not_yet["missing"]] == [line(place) for place in TYPED]
    assert all("probably one with the" in each["why"] for each in not_yet["missing"])

    said = [part for each in first["asked"] for part in each["answers"][0].split()]
    again = terminal.ok("import", file, "--meter", "blue", *said, "--json").json
    unsaved = memory(terminal, minutes=2)

    assert account(again) == (250, 0, 250, 0, 0)
    assert terminal.ok("clocks", "--json").json["proposals"] == []
    assert four(unsaved) == (250, 243, 4, 3, 0)
    assert unsaved["says"].startswith("Not yet: all 250 accounted for, but no backup was checked")

    terminal.ok("backup", now=JULY + timedelta(minutes=3))
    done = memory(terminal, minutes=4)

    assert done["answer"] == "yes"
    assert done["says"] == (
        "All 250 accounted for; backup checked 2026-07-24 10:03. "
        "Clearing a meter can't be taken back."
    )

    terminal.ok("kit", "meter", "edit", "blue", "--keep-memory", "yes")
    never = memory(terminal, minutes=5)

    assert never["answer"] == "never"
    assert never["says"].startswith("Do not clear blue: this meter is marked as one whose memory")


def test_the_readings_by_hand_are_one_with_their_records_and_keep_what_was_written(
    terminal: Terminal,
) -> None:
    file = a_file(terminal, a_memory(250))
    said = [*answers(CONTROLS, "control"), "--answer", "all=one"]

    terminal.ok("import", file, "--meter", "blue", *said)

    rows = terminal.ok("list", "--json").json
    assert len(rows) == 250 - len(CONTROLS)
    written = f"{wall(TYPED[0]) - timedelta(minutes=2):%Y-%m-%dT%H:%M}"
    assert sum(each["at"].startswith(written) for each in rows) == 1
    assert account(terminal.ok("import", file, "--meter", "blue", "--json").json) == (
        250, 0, 250, 0, 0,
    )  # fmt: skip


def test_a_row_said_to_be_another_stays_beside_the_one_by_hand(terminal: Terminal) -> None:
    file = a_file(terminal, a_memory(110))
    said = [*answers(CONTROLS[:2], "control"), *answers(TYPED, "two")]

    found = terminal.ok("import", file, "--meter", "blue", *said, "--json").json

    assert account(found) == (110, 108, 2, 0, 0)
    assert len(terminal.ok("list", "--json").json) == 110


def by_hand(terminal: Terminal) -> Any:
    rows = terminal.ok("list", "--json").json
    for each in rows:
        del each["amended"]  # it was, and back again
    return rows, terminal.ok("kit", "--json").json["control_tests"]


def test_an_import_taken_back_leaves_what_was_written_by_hand_as_it_was(
    terminal: Terminal,
) -> None:
    before = by_hand(terminal)
    said = [*answers(CONTROLS, "control"), "--answer", "all=one"]
    terminal.ok("import", a_file(terminal, a_memory(250)), "--meter", "blue", *said)

    terminal.ok("undo")

    assert by_hand(terminal) == before
    done = terminal.type("memory")
    assert (done.code, done.out) == (1, "")
    assert "import FILE --meter NAME" in done.err


def test_a_check_is_kept_once_and_can_be_taken_back(terminal: Terminal) -> None:
    terminal.ok("import", a_file(terminal, a_memory(50)), "--meter", "blue")

    terminal.ok("memory")
    terminal.ok("memory")

    told = terminal.ok("history").out
    assert told.count("The memory of the meter “blue” was checked: 49 of 50 accounted for") == 1
    assert "Taken back: “The memory of the meter “blue” was checked" in terminal.ok("undo").out


def test_a_record_whose_reading_was_deleted_is_not_copied(terminal: Terminal) -> None:
    terminal.ok("import", a_file(terminal, a_memory(10)), "--meter", "blue")
    with open_diary(terminal.diary, INSTALLATION, now=JULY) as diary:
        (person,) = persons(diary)
        newest = max(readings_of(diary, person), key=lambda each: each.id)
        put_in_bin(diary, person, [newest.id], now=JULY)

    found = memory(terminal)

    assert four(found) == (10, 9, 0, 0, 1)
    assert found["missing"][0]["why"] == "its row lies in the bin"
    assert found["missing"][0]["text"].endswith(f"{value(9)} mmol/L")


def test_the_text_names_each_record_that_is_missing(terminal: Terminal) -> None:
    rows = a_memory(5) + "2026-05-04,25:00,5.1,waking\n"
    terminal.ok("import", a_file(terminal, rows), "--meter", "blue")

    said = terminal.ok("memory").out.splitlines()

    assert said[0] == "blue: Not yet: 1 of 6 not copied."
    assert said[1] == "  6 records = 5 mine + 0 control tests + 0 not mine + 1 not copied"
    assert said[2].startswith('  not copied, line 7: "25:00" is not a time of day   [')
    assert said[-1].startswith("  When it writes over what is not copied: unknown, for that needs")


def test_a_pace_and_a_capacity_say_when_the_memory_runs_over(terminal: Terminal) -> None:
    terminal.ok("import", a_file(terminal, a_memory(120)), "--meter", "blue")

    room = memory(terminal)["room"]

    assert (room["capacity"], room["days"], room["missing"]) == (250, 28, [])
    assert room["per_day"] == 3.0
    copied = wall(119).date()
    # At three a day the 250 places after the copy last 83 days and a third.
    assert room["full"] == str(copied + timedelta(days=83))


def test_a_copy_that_meets_no_earlier_one_says_what_is_lost(terminal: Terminal) -> None:
    rows = a_memory(250).splitlines(keepends=True)
    terminal.ok("kit", "meter", "edit", "blue", "--capacity", "60")
    terminal.ok("import", a_file(terminal, "".join(rows[:61])), "--meter", "blue")
    terminal.ok("import", a_file(terminal, rows[0] + "".join(rows[130:190])), "--meter", "blue")

    said = terminal.ok("memory").out

    assert "can't be recovered from this meter" in said
    assert f"Results from {wall(59):%Y-%m-%d %H:%M} to {wall(129):%Y-%m-%d %H:%M}" in said


def test_the_same_copy_twice_is_one(terminal: Terminal) -> None:
    file = a_file(terminal, a_memory(10))
    terminal.ok("import", file, "--meter", "blue")
    before = terminal.diary.read_bytes()

    terminal.ok("import", file, "--meter", "blue")

    assert terminal.diary.read_bytes() == before


def test_a_new_copy_that_adds_nothing_is_still_a_copy(terminal: Terminal) -> None:
    terminal.ok("import", a_file(terminal, a_memory(10)), "--meter", "blue")
    rows = a_memory(10).splitlines(keepends=True)
    file = a_file(terminal, rows[0] + "".join(reversed(rows[1:])), "blue-again.csv")

    terminal.ok("import", file, "--meter", "blue")

    assert memory(terminal)["copy"]["file"] == "blue-again.csv"
    assert four(memory(terminal)) == (10, 10, 0, 0, 0)


def test_an_answer_about_a_line_that_is_not_there_changes_nothing(terminal: Terminal) -> None:
    file = a_file(terminal, a_memory(10))
    before = terminal.diary.read_bytes()

    for said in ("99=one", "x=one", "3=maybe", "one"):
        done = terminal.type("import", file, "--meter", "blue", "--answer", said)

        assert (done.code, done.out) == (1, "")
        assert done.err.endswith("Nothing was changed.\n")
    assert terminal.diary.read_bytes() == before


def test_a_value_that_can_hardly_be_is_held_until_its_unit_is_said(terminal: Terminal) -> None:
    file = a_file(terminal, HEAD + "2026-05-01,07:00,6.1,\n2026-05-02,07:00,148,\n")

    held = terminal.ok("import", file, "--json").json
    terminal.ok("import", file, "--answer", "3=mg/dL")

    assert account(held) == (2, 1, 0, 0, 1)
    assert held["asked"][0]["answers"] == [
        "--answer 3=mg/dL",
        "--answer 3=keep",
        "--answer 3=leave-out",
    ]
    found = {each["value"]: each["unit"] for each in terminal.ok("list", "--json").json}
    assert (found["6.1"], found["148"]) == ("mmol/L", "mg/dL")


def test_a_row_can_be_left_out(terminal: Terminal) -> None:
    file = a_file(terminal, HEAD + "2026-05-01,07:00,6.1,\n2026-05-02,07:00,148,\n")

    found = terminal.ok("import", file, "--answer", "3=leave-out", "--json").json

    assert account(found) == (2, 1, 0, 1, 0)
    assert found["problems"][0]["why"] == "left out, as you said"
