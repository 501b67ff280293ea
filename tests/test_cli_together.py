"""Two homes with copies of one diary bring them together, by commands."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from app.work.edit import Edit, edit_reading, put_in_bin
from app.work.retype import typed_value
from app.work.take_back import undo_last
from tests.commands import Terminal
from tests.homes import BEGIN, LATER, copied, csv_of, home, is_sound, opened, row_of, spaced, state

_DONE = LATER + timedelta(hours=2)
_SHARED = "2026-05-01T08:00"
_HOME_A, _HOME_B = BEGIN + timedelta(days=70), BEGIN + timedelta(days=90)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Copy A with 412 readings, B with 405, 380 of them shared; made by our own commands."""
    folder = tmp_path_factory.mktemp("homes")
    a, b = home(folder, "a"), home(folder, "b")
    a.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "UTC")
    a.ok("import", str(csv_of([*spaced(379, BEGIN)], folder / "shared.csv")))
    a.ok("add", "8.1 2026-05-01 08:00")
    copied(a, b)
    own = [(_HOME_A + timedelta(hours=5 * i), f"{5 + i / 10:.1f}") for i in range(5)]
    alike = [(at + timedelta(minutes=2 * i + 2), value) for i, (at, value) in enumerate(own)]
    for at, value in own:
        a.ok("add", f"{value} {at:%Y-%m-%d %H:%M}")
    a.ok("import", str(csv_of(spaced(27, _HOME_A + timedelta(days=5), first=11), folder / "a.csv")))
    later = LATER + timedelta(hours=1)
    for at, value in alike:
        b.ok("add", f"{value} {at:%Y-%m-%d %H:%M}", now=later)
    b.ok("import", str(csv_of(spaced(20, _HOME_B, first=40), folder / "b.csv")), now=later)
    with opened(a) as (diary, person):
        wrong = Edit(value=typed_value("18.1", person, person.unit, now=LATER))
        edit_reading(diary, person, row_of(diary, _SHARED), wrong, now=LATER)
    with opened(b) as (diary, person):
        put_in_bin(diary, person, [row_of(diary, _SHARED)], now=later)
    return folder


@pytest.fixture
def homes(made: Path, tmp_path: Path) -> tuple[Terminal, Terminal]:
    """Both homes as they were made, for one test alone."""
    shutil.copytree(made / "a", tmp_path / "a")
    shutil.copytree(made / "b", tmp_path / "b")
    return Terminal(tmp_path / "a", _DONE), Terminal(tmp_path / "b", _DONE)


def test_two_homes_come_to_437_records_five_pairs_and_one_to_settle(
    homes: tuple[Terminal, Terminal],
) -> None:
    a, b = homes

    found = a.ok("together", str(b.diary), "--json").json

    assert (found["records"], found["probably_one"], found["to_settle"]) == (437, 5, 1)
    came = {"new": 25, "same": 379, "met": 0, "changed": 0, "deleted": 0, "erased": 0}
    assert found["readings"] == came
    assert _readings(a) == 437
    assert is_sound(a)


def test_what_one_changed_and_the_other_deleted_stays_visible(
    homes: tuple[Terminal, Terminal],
) -> None:
    a, b = homes

    a.ok("together", str(b.diary))

    (left,) = a.ok("to-settle", "--json").json["to_settle"]
    assert "18.1 mmol/L, 2026-05-01 08:00" in left["what"]
    assert left["other"]["says"] == "deleted"
    assert left["other"]["by"] == "on another computer"


def test_it_is_the_same_from_either_side(homes: tuple[Terminal, Terminal], tmp_path: Path) -> None:
    a, b = homes
    before_b = shutil.copyfile(b.diary, tmp_path / "b-before.thimblebook")

    b.ok("together", str(a.diary))
    found = b.ok("to-settle", "--json").json
    a.ok("together", str(before_b))

    assert state(a) == state(b)
    assert (len(found["probably_one"]), len(found["to_settle"])) == (5, 1)
    for each in ("probably_one", "to_settle"):
        mine = a.ok("to-settle", "--json").json[each]
        assert [(one["number"], one["person"]) for one in mine] == [
            (one["number"], one["person"]) for one in found[each]
        ]
    assert is_sound(b)


def test_a_second_time_adds_nothing_and_writes_nothing(homes: tuple[Terminal, Terminal]) -> None:
    a, b = homes
    a.ok("together", str(b.diary))
    before = a.diary.read_bytes()

    again = a.ok("together", str(b.diary), "--json").json

    assert (again["readings"]["new"], again["changes"], again["backup"]) == (0, 0, None)
    assert again["readings"]["same"] == 404
    assert "holds nothing that this diary lacks" in a.ok("together", str(b.diary)).out
    assert a.diary.read_bytes() == before


def test_five_pairs_said_to_be_one_leave_432(homes: tuple[Terminal, Terminal]) -> None:
    a, b = homes
    a.ok("together", str(b.diary))

    said = a.ok("to-settle", "one", "all")

    assert said.out == (
        "5 pairs of readings were said to be one each; those typed later are in the bin. "
        "Undo takes it back; 1 thing left open.\n"
    )
    assert _readings(a) == 432
    assert len(a.ok("bin", "--json").json) == 5
    assert a.ok("together", str(b.diary), "--json").json["records"] == 432

    a.ok("undo")

    assert _readings(a) == 437
    assert len(a.ok("to-settle", "--json").json["probably_one"]) == 5
    assert is_sound(a)


def test_what_is_said_once_reaches_the_other_home(homes: tuple[Terminal, Terminal]) -> None:
    a, b = homes
    a.ok("together", str(b.diary))
    a.ok("to-settle", "one", "all")
    a.ok("to-settle", "keep", "1", "shown")

    found = b.ok("together", str(a.diary), "--json").json

    assert (found["records"], found["probably_one"], found["to_settle"]) == (432, 0, 0)
    assert state(a) == state(b)
    assert is_sound(b)


def test_two_readings_are_not_asked_about_again(homes: tuple[Terminal, Terminal]) -> None:
    a, b = homes
    a.ok("together", str(b.diary))

    said = a.ok("to-settle", "two", "2")

    assert said.out.startswith("Two readings that looked like one were said to be two.")
    assert _readings(a) == 437
    assert len(a.ok("to-settle", "--json").json["probably_one"]) == 4
    a.ok("undo")
    assert len(a.ok("to-settle", "--json").json["probably_one"]) == 5


def test_either_version_can_be_kept_and_that_taken_back(
    homes: tuple[Terminal, Terminal],
) -> None:
    a, b = homes
    a.ok("together", str(b.diary))
    a.ok("to-settle", "one", "all")

    a.ok("to-settle", "keep", "1", "other")

    assert _readings(a) == 431
    assert a.ok("to-settle").out == "Nothing is open.\n"
    a.ok("undo")
    assert _readings(a) == 432
    kept = a.ok("to-settle", "keep", "1", "shown")
    assert kept.out.startswith("It was settled that the version that was shown holds: 18.1 mmol/L")
    assert _readings(a) == 432


def test_a_look_says_the_same_and_writes_nothing(homes: tuple[Terminal, Terminal]) -> None:
    a, b = homes
    files = {path: path.read_bytes() for path in (a.diary, b.diary)}
    names = sorted(path.name for path in a.folder.rglob("*"))

    look = a.ok("together", str(b.diary), "--look", "--json").json

    assert {path: path.read_bytes() for path in files} == files
    assert sorted(path.name for path in a.folder.rglob("*")) == names
    done = a.ok("together", str(b.diary), "--json").json
    assert {**look, "looked": False, "backup": done["backup"]} == done
    assert b.diary.read_bytes() == files[b.diary]


def test_it_is_taken_back_by_the_backup_that_it_names(homes: tuple[Terminal, Terminal]) -> None:
    a, b = homes
    before = state(a)
    done = a.ok("together", str(b.diary), "--json").json

    name = Path(done["backup"]).name
    entry = next(
        each for each in a.ok("history", "--json").json if each["kind"] == "brought_together"
    )
    refused = a.type("undo", "--entry", str(entry["entry"]))
    a.ok("restore", name)

    assert refused.code == 1
    assert f"thimblebook restore {name}" in refused.err
    assert state(a) == before
    again = a.ok("together", str(b.diary), "--json").json
    assert again["records"] == 437


def test_files_that_are_no_copy_of_this_diary_are_refused(
    homes: tuple[Terminal, Terminal], tmp_path: Path
) -> None:
    a, b = homes
    other = home(tmp_path, "c")
    other.ok("person", "add", "Bram", "--unit", "mmol/L", "--zone", "UTC")
    torn = tmp_path / "torn.thimblebook"
    torn.write_bytes(b.diary.read_bytes()[:-5000])
    spoiled = tmp_path / "spoiled.thimblebook"
    shutil.copyfile(b.diary, spoiled)
    with closing(sqlite3.connect(spoiled)) as connection, connection:
        connection.execute("UPDATE reading SET value = '9.9' WHERE id = 3")
    newer = tmp_path / "newer.thimblebook"
    shutil.copyfile(b.diary, newer)
    with closing(sqlite3.connect(newer)) as connection, connection:
        connection.execute("PRAGMA user_version = 99")
    said = {
        a.diary: "is this diary itself",
        other.diary: "is another diary and no copy of this one",
        torn: "is damaged and was not brought in",
        spoiled: "1 rows of reading are not as they were written",
        newer: "was written by a newer Thimblebook",
        tmp_path / "nothing": "There is no file",
    }
    before = {each.diary: each.diary.read_bytes() for each in (a, b, other)}

    for file, words in said.items():
        for look in ((), ("--look",)):
            done = a.type("together", str(file), *look)
            assert done.code == 1, file
            assert words in done.err, done.err

    assert {path: path.read_bytes() for path in before} == before
    assert not [path for path in a.folder.iterdir() if path.name.startswith(".")]


def test_numbers_of_no_such_thing_are_refused(homes: tuple[Terminal, Terminal]) -> None:
    a, b = homes
    a.ok("together", str(b.diary))

    assert a.type("to-settle", "one", "6").err.startswith("Number 6 is no pair of readings")
    assert a.type("to-settle", "keep", "2", "other").err.startswith("Number 2 is nothing that is")
    assert a.type("to-settle", "one", "some").code == 2
    a.ok("to-settle", "two", "all")
    assert a.type("to-settle", "two", "all").err.startswith("No pair of readings is open")


def _readings(home: Terminal) -> int:
    with opened(home) as (diary, _), diary.driver() as driver:
        found = driver.execute("SELECT count(*) FROM reading WHERE deleted_at IS NULL").fetchone()
    return int(found[0])


def test_one_memory_copied_in_both_homes_has_one_line_of_numbers(tmp_path: Path) -> None:
    a, b = home(tmp_path, "a"), home(tmp_path, "b")
    a.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "UTC")
    copied(a, b)
    records = spaced(15, BEGIN)
    a.ok("import", str(csv_of(records[:10], tmp_path / "a.csv")), "--meter", "blue")
    later = LATER + timedelta(hours=1)
    b.ok("import", str(csv_of(records[4:], tmp_path / "b.csv")), "--meter", "blue", now=later)
    before_b = shutil.copyfile(b.diary, tmp_path / "b-before.thimblebook")

    b.ok("together", str(a.diary))
    found = a.ok("together", str(before_b), "--json").json

    assert (found["readings"]["new"], found["readings"]["met"]) == (5, 6)
    assert state(a) == state(b)
    for each in (a, b):
        with opened(each) as (diary, _), diary.driver() as driver:
            query = "SELECT memory_order FROM reading ORDER BY instant"
            assert [number for (number,) in driver.execute(query)] == list(range(1, 16))
            assert driver.execute("SELECT count(*) FROM meter").fetchone() == (1,)
        assert is_sound(each)
        assert each.ok("clocks", "list").out.startswith("No clock of Tilde's meters looks wrong")


def test_a_change_that_the_other_home_changed_again_is_corrected_by_hand(
    homes: tuple[Terminal, Terminal],
) -> None:
    a, b = homes
    with opened(b) as (diary, person):
        undo_last(diary, person, now=_DONE)
        again = Edit(value=typed_value("8.8", person, person.unit, now=_DONE))
        edit_reading(diary, person, row_of(diary, _SHARED), again, now=_DONE)
    a.ok("together", str(b.diary))
    mine = next(each for each in a.ok("history", "--json").json if each["kind"] == "edit")
    assert not mine["here"]
    own = [each for each in a.ok("history", "-n", "0", "--json").json if each["here"]]
    entry = next(each["entry"] for each in own if each["kind"] == "edit")

    refused = a.type("undo", "--entry", str(entry))

    assert refused.code == 1
    assert "on another computer" in refused.err
    assert refused.err.endswith("that can't be taken back here, so correct the record itself.\n")


def test_what_both_put_in_force_from_one_day_is_asked_about(tmp_path: Path) -> None:
    a, b = home(tmp_path, "a"), home(tmp_path, "b")
    a.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "UTC")
    copied(a, b)
    later = LATER + timedelta(hours=1)
    for each, goals, text, now in (
        (a, "ispad-2022", "call at 15", LATER),
        (b, "nice-under-18", "call at 14", later),
    ):
        each.ok("person", "targets", goals, now=now)
        each.ok("care", "set", "sick-plan", text, now=now)
        each.ok("care", "set", "team-phone", "555-0101", now=now)
        each.ok("follow-ups", "off", "ketones-high", now=now)
    before_b = shutil.copyfile(b.diary, tmp_path / "b-before.thimblebook")

    b.ok("together", str(a.diary))
    a.ok("together", str(before_b))

    assert state(a) == state(b)
    text, goals = a.ok("to-settle", "--json").json["to_settle"]
    assert (text["shown"]["says"], text["other"]["says"]) == ("text call at 14", "text call at 15")
    assert goals["what"] == "the goals “ISPAD 2022, children and young people”"
    assert goals["other"]["says"] == "another in its place"

    a.ok("to-settle", "keep", "2", "other")
    b.ok("together", str(a.diary))

    assert state(a) == state(b)
    assert len(b.ok("to-settle", "--json").json["to_settle"]) == 1
    assert is_sound(a)
    assert is_sound(b)
    a.ok("undo")
    assert len(a.ok("to-settle", "--json").json["to_settle"]) == 2


def test_a_person_added_in_both_homes_is_one(tmp_path: Path) -> None:
    a, b = home(tmp_path, "a"), home(tmp_path, "b")
    a.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "UTC")
    copied(a, b)
    for each, zone in ((a, "Europe/Lisbon"), (b, "Europe/Madrid")):
        each.ok("person", "add", "Bram", "--unit", "mg/dL", "--zone", zone)
        each.ok("--person", "bram", "add", "112 2026-05-02 07:00")
    before_b = shutil.copyfile(b.diary, tmp_path / "b-before.thimblebook")

    b.ok("together", str(a.diary))
    found = a.ok("together", str(before_b), "--json").json

    assert state(a) == state(b)
    assert len(a.ok("person", "list", "--json").json) == 2
    assert (found["records"], found["to_settle"]) == (2, 1)
    (zone_left,) = a.ok("to-settle", "--json").json["to_settle"]
    assert zone_left["field"] == "zone"
