from __future__ import annotations

import os
import sqlite3
import stat
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from app.store.backup_facts import list_backups
from tests.commands import Terminal
from tests.households import NOW
from tests.large_files import kitchen_csv


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    made.ok("add", "7.2 7:05")
    return made


def values(terminal: Terminal) -> list[str]:
    return [each["value"] for each in terminal.ok("list", "--json").json]


def backups(terminal: Terminal) -> list[Path]:
    return [each.path for each in list_backups(terminal.diary)]


def test_a_backup_is_said_when_it_is_checked_and_in_its_place(terminal: Terminal) -> None:
    done = terminal.ok("backup")

    (made,) = backups(terminal)
    assert done.out == f"Backed up and checked: 1 reading in {made}\n"
    assert made.parent == terminal.folder / "backups"


def test_a_second_place_can_be_named(terminal: Terminal) -> None:
    stick = terminal.folder / "stick" / "diary"

    found = terminal.ok("backup", str(stick), "--json").json

    assert Path(found["file"]).parent == stick
    assert (found["readings"], found["why"], found["apart"]) == (1, "asked", False)
    assert found["verified_at"] == "2026-03-12T21:30:00+00:00"
    assert terminal.ok("backups").out == "No checked backup yet.\n"
    assert terminal.ok("backups", str(stick), "--json").json["newest_checked"] == found["file"]


def test_backups_are_listed_newest_first_with_the_age_of_the_newest(terminal: Terminal) -> None:
    terminal.ok("backup", now=NOW - timedelta(days=3))
    terminal.ok("backup", now=NOW - timedelta(hours=5))

    older, newer = backups(terminal)
    assert terminal.ok("backups").out == (
        "Backup checked 5 hours ago.\n"
        f"2026-03-12 16:30  1 reading  asked for\n    {newer}\n"
        f"2026-03-09 21:30  1 reading  asked for\n    {older}\n"
    )
    listed = terminal.ok("backups", "--json").json
    assert [each["file"] for each in listed["backups"]] == [str(newer), str(older)]


def test_backups_are_listed_without_a_diary(terminal: Terminal) -> None:
    terminal.ok("backup")
    terminal.diary.write_bytes(os.urandom(5000))

    assert terminal.type("list").code == 1
    assert terminal.ok("backups", "--json").json["newest_checked"] == str(backups(terminal)[0])


def test_a_restore_says_how_it_is_undone_and_those_words_do_it(terminal: Terminal) -> None:
    terminal.ok("backup")
    terminal.ok("add", "5.6 8:10")

    done = terminal.ok("restore", backups(terminal)[0].name)

    assert values(terminal) == ["7.2"]
    said, before = done.out.splitlines()
    aside = terminal.folder / "backups" / "diary-2026-03-12-213000-set-aside.thimblebook"
    assert said == (
        f"Restored: {terminal.diary} holds 1 reading. The diary of before is whole in {aside}; "
        f"to go back to it: thimblebook restore {aside.name}"
    )
    assert before.startswith("A backup of it is in ")
    terminal.ok(*said.rpartition("thimblebook ")[2].split())
    assert values(terminal) == ["7.2", "5.6"]


def test_what_a_restore_set_aside_is_listed_and_called_unchecked(terminal: Terminal) -> None:
    terminal.ok("backup")
    terminal.ok("restore", str(backups(terminal)[0]))

    listed = terminal.ok("backups").out

    assert "2026-03-12 21:30  not known to be checked  set aside by a restore\n" in listed


def test_a_diary_that_is_gone_is_restored_under_its_name(terminal: Terminal) -> None:
    terminal.ok("backup")
    terminal.diary.unlink()

    done = terminal.ok("restore", backups(terminal)[0].name)

    assert done.out == f"Restored: {terminal.diary} holds 1 reading again.\n"
    assert values(terminal) == ["7.2"]


@pytest.mark.parametrize("content", [None, b"", b"waking 5.6\n" * 500])
def test_a_file_that_can_not_be_restored_is_refused_in_one_sentence(
    terminal: Terminal, content: bytes | None
) -> None:
    file = terminal.folder / "other.thimblebook"
    if content is not None:
        file.write_bytes(content)
    before = terminal.diary.read_bytes()

    done = terminal.type("restore", str(file))

    assert (done.code, done.out) == (1, "")
    assert len(done.err.splitlines()) == 1
    assert terminal.diary.read_bytes() == before
    assert not (terminal.folder / "backups").exists()


def test_a_backup_that_shrank_is_reported_with_the_words_that_accept_it(
    terminal: Terminal,
) -> None:
    for number in range(10):
        terminal.ok("add", f"5.6 8:{number}0" if number < 6 else f"5.6 9:{number - 6}0")
    terminal.ok("backup", now=NOW - timedelta(days=1))
    with closing(sqlite3.connect(terminal.diary)) as connection:
        connection.execute("DELETE FROM reading WHERE id > 3")
        connection.commit()

    done = terminal.type("backup")

    assert done.code == 1
    assert "is kept apart and the earlier ones stay" in done.err
    assert terminal.ok("backups", "--json").json["newest_checked"] == str(backups(terminal)[0])
    words = done.err.strip().rpartition("thimblebook ")[2].split()
    assert words == ["backup", "--sure"]
    terminal.ok(*words, now=NOW + timedelta(minutes=1))
    assert terminal.ok("backups", "--json").json["newest_checked"] == str(backups(terminal)[-1])


def test_a_large_file_is_brought_in_after_a_backup(terminal: Terminal) -> None:
    file = terminal.folder / "meter.csv"
    file.write_bytes(kitchen_csv(150).replace(b"value", b"Glucose (mmol/L)"))

    terminal.ok("import", str(file))

    (made,) = terminal.ok("backups", "--json").json["backups"]
    assert (made["why"], made["readings"]) == ("before_import", 1)


def test_a_place_that_can_not_be_written_is_said(terminal: Terminal) -> None:
    (terminal.folder / "stick").write_text("no folder")

    done = terminal.type("backup", str(terminal.folder / "stick"))

    assert (done.code, done.out) == (1, "")
    assert done.err.startswith("No backup was made: ")
    assert len(done.err.splitlines()) == 1
    assert "The diary and earlier backups are safe" in done.err


def test_every_copy_is_for_its_owner_alone_under_any_umask(terminal: Terminal) -> None:
    umask = os.umask(0o022)
    try:
        terminal.ok("backup")
        terminal.ok("restore", str(backups(terminal)[0]))
    finally:
        os.umask(umask)

    folder = terminal.folder / "backups"
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert {stat.S_IMODE(each.stat().st_mode) for each in folder.iterdir()} == {0o600}
    assert stat.S_IMODE(terminal.diary.stat().st_mode) == 0o600
