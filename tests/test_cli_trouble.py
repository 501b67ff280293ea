"""Commands as processes of their own, in places where things go wrong."""

from __future__ import annotations

import json
import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from tests.commands import Terminal

needs_posix = pytest.mark.skipif(os.name != "posix", reason="tells of pipes and signals of POSIX")
# A process reads the real clock, so what it adds has a time that has come on every computer.
EARLIER = ("add", "6.1", "--at", "2020-01-01 07:30")
PROGRAM = (sys.executable, "-W", "error", "-m", "app")


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    made.ok("add", "7.2 7:05 café ☕")
    return made


def started(terminal: Terminal, *words: str, **more: str) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        (*PROGRAM, "--diary", str(terminal.diary), *words),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=os.environ | more,
    )


def run(terminal: Terminal, *words: str, **more: str) -> tuple[int, bytes, bytes]:
    process = started(terminal, *words, **more)
    out, err = process.communicate()
    return process.returncode, out, err


def long_file(folder: Path, rows: int) -> Path:
    file, at = folder / "long.csv", datetime(2000, 1, 1)  # noqa: DTZ001
    with file.open("w", encoding="utf-8") as stream:
        stream.write("Date,Time,Glucose (mmol/L)\n")
        for number in range(rows):
            stream.write(f"{at + timedelta(minutes=130 * number):%Y-%m-%d,%H:%M},6.{number % 10}\n")
    return file


@needs_posix
@pytest.mark.parametrize("words", [("list",), ("list", "--json"), ("export", "--as", "csv", "-")])
def test_a_reader_who_has_seen_enough_is_no_trouble(
    terminal: Terminal, words: tuple[str, ...]
) -> None:
    terminal.ok("import", str(long_file(terminal.folder, 3000)))  # more than a pipe holds
    process = started(terminal, *words)
    assert process.stdout is not None
    assert process.stderr is not None

    process.stdout.readline()
    process.stdout.close()
    with process.stderr as stream:
        said = stream.read()

    assert (process.wait(), said) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no full device")
@pytest.mark.parametrize("words", [("list",), ("export", "--as", "csv", "-"), EARLIER])
def test_output_that_can_not_be_written_is_said(terminal: Terminal, words: tuple[str, ...]) -> None:
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            (*PROGRAM, "--diary", str(terminal.diary), *words),
            stdout=full, stderr=subprocess.PIPE, check=False,
        )  # fmt: skip

    assert done.returncode == 1
    assert done.stderr.startswith(b"The answer could not be written out (No space left on device).")
    assert done.stderr.count(b"\n") == 1


@needs_posix
@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-8"])
def test_a_terminal_of_few_letters_gets_whole_json_and_whole_files(
    terminal: Terminal, encoding: str
) -> None:
    few = {"LC_ALL": "C", "PYTHONIOENCODING": encoding}

    listed, as_json, sent = (
        run(terminal, *words, **few)
        for words in (("list",), ("list", "--json"), ("export", "--as", "csv", "-"))
    )

    assert listed[0] == as_json[0] == sent[0] == 0
    assert b"7.2 mmol/L" in listed[1]
    assert json.loads(as_json[1].decode(encoding))[0]["note"] == "café ☕"
    assert "café ☕" in sent[1].decode("utf-8")
    file = terminal.folder / "sent.csv"
    file.write_bytes(sent[1])
    assert "1 already there" in terminal.ok("import", str(file)).out


@contextmanager
def held(diary: Path) -> Iterator[sqlite3.Connection]:
    """Another program holds the diary, all of it."""
    with closing(sqlite3.connect(diary, isolation_level=None, check_same_thread=False)) as other:
        other.execute("BEGIN EXCLUSIVE")
        yield other


def test_a_diary_that_is_let_go_in_time_takes_the_reading(terminal: Terminal) -> None:
    with held(terminal.diary) as other:
        letting_go = threading.Timer(1.0, other.execute, ("COMMIT",))
        letting_go.start()
        code, _, err = run(terminal, *EARLIER)
        letting_go.join()

    assert (code, err) == (0, b"")
    assert len(terminal.ok("list", "--json").json) == 2


def test_a_diary_that_stays_taken_is_said_and_nothing_is_lost(terminal: Terminal) -> None:
    processes = []
    with held(terminal.diary) as other:
        for words in (EARLIER, ("list",), ("undo",)):
            processes.append(started(terminal, *words))
        done = [(*process.communicate(), process.returncode) for process in processes]
        other.execute("COMMIT")

    for out, err, code in done:
        assert (code, out) == (1, b"")
        assert err.startswith(b"Another program is writing to ")
        assert err.endswith(b"Nothing was changed; try again in a moment.\n")
    assert len(terminal.ok("list", "--json").json) == 1


def test_a_diary_that_another_program_reads_ahead_is_not_called_damaged(
    terminal: Terminal,
) -> None:
    with closing(sqlite3.connect(terminal.diary)) as other:
        other.execute("PRAGMA journal_mode = WAL")
        other.execute("CREATE TABLE more (x)")
        other.execute("DROP TABLE more")
        other.commit()

        code, _, err = run(terminal, "list")

    assert code == 1
    assert b"Another program" in err
    assert len(terminal.ok("list", "--json").json) == 1


@needs_posix
def test_an_import_killed_at_any_moment_is_whole_or_not_there(terminal: Terminal) -> None:
    rows = 30_000
    file = long_file(terminal.folder, rows)
    journal = terminal.diary.with_name(terminal.diary.name + "-journal")

    for pages in (1, 300):  # let it get so far into the writing
        process = started(terminal, "import", str(file))
        start = terminal.diary.stat().st_size
        while process.poll() is None:
            grown = terminal.diary.stat().st_size - start
            if journal.exists() and grown >= pages * 4096:
                break
        process.send_signal(signal.SIGKILL)
        process.communicate()

        found = terminal.ok("check", "--json").json

        assert found["wrong"] == []
        assert found["readings"] in (1, rows + 1)
    done = terminal.ok("import", str(file), "--json").json
    assert done["new"] + done["already"] == rows
    assert terminal.ok("check", "--json").json["readings"] == rows + 1


@needs_posix
def test_reading_verbs_need_no_place_to_write(terminal: Terminal) -> None:
    # Root may write anywhere, so the folder is made useless by a file that lies in its place.
    state = terminal.folder / "state"
    shutil.rmtree(state)
    state.write_text("in the way", encoding="utf-8")

    file = str(long_file(terminal.folder, 3))

    for words in (*READING, ("import", file, "--dry-run")):
        assert terminal.type(*words).code == 0, words
    for words in (EARLIER, ("undo",), ("import", file)):
        done = terminal.type(*words)
        assert done.code == 1, words
        assert "can't be used" in done.err
        assert "Nothing was changed" in done.err
    assert len(terminal.ok("list", "--json").json) == 1


Verbs = tuple[tuple[str, ...], ...]
READING: Verbs = (
    ("list",),
    ("figures",),
    ("check",),
    ("person", "list"),
    ("export", "--as", "csv", "-"),
)
WRITING: Verbs = (EARLIER, ("undo",), ("person", "targets", "ispad-2022"))


def test_a_diary_that_may_not_be_written_is_shown_and_not_changed(
    terminal: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    def may(path: Path, mode: int) -> bool:
        return mode != os.W_OK

    before = terminal.diary.read_bytes()
    monkeypatch.setattr("app.store.file.os.access", may)  # root may write whatever the mode says

    for words in READING:
        assert terminal.type(*words).code == 0, words
    for words in WRITING:
        done = terminal.type(*words)
        assert (done.code, done.out) == (1, ""), words
        assert "can only be read here, so nothing was saved" in done.err, words
    assert terminal.diary.read_bytes() == before


def test_what_is_no_diary_is_left_as_it_is(terminal: Terminal, tmp_path: Path) -> None:
    newer = tmp_path / "newer.thimblebook"
    newer.write_bytes(terminal.diary.read_bytes())
    with closing(sqlite3.connect(newer)) as connection:
        connection.execute("PRAGMA user_version = 99")
        connection.commit()
    other = tmp_path / "other.thimblebook"
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("CREATE TABLE stamps (colour)")
        connection.commit()
    letter = tmp_path / "letter.thimblebook"
    letter.write_text("Dear doctor,\n", encoding="utf-8")
    empty = tmp_path / "empty.thimblebook"
    empty.touch()

    for path, said in (
        (newer, "was written by a newer Thimblebook"),
        (other, "is a database of another program"),
        (letter, "is not a Thimblebook diary"),
        (empty, "is not a Thimblebook diary"),
        (tmp_path, "is a folder, not a diary file"),
        (tmp_path / "missing" / "x.thimblebook", "There is no diary at"),
    ):
        before = path.read_bytes() if path.is_file() else b""
        for words in (*READING, *WRITING):
            done = terminal.type("--diary", str(path), *words)
            assert (done.code, done.out, done.err.count("\n")) == (1, "", 1), (path, words)
            assert said in done.err
        assert (path.read_bytes() if path.is_file() else b"") == before


def test_a_damaged_diary_is_called_so_and_never_written(terminal: Terminal) -> None:
    whole = terminal.diary.read_bytes()
    for lost in (4096, len(whole) // 2):
        terminal.diary.write_bytes(whole[:-lost])

        for words in READING:
            assert f"{terminal.diary} is damaged" in terminal.type(*words).err, words
        for words in WRITING:
            done = terminal.type(*words)
            assert (done.code, done.out) == (1, "")
            assert f"{terminal.diary} is damaged" in done.err

        assert terminal.diary.read_bytes() == whole[:-lost]


def test_a_path_of_any_bytes_holds_a_diary(tmp_path: Path) -> None:
    name = os.fsdecode(os.fsencode(tmp_path) + b"/\xff ?#%.thimblebook")
    try:
        Path(name).touch()
    except OSError:
        pytest.skip("this file system takes no such name")
    Path(name).unlink()
    terminal = Terminal(tmp_path)

    terminal.ok("--diary", name, "person", "add", "Tilde", "--unit", "mmol/L", "--zone", "UTC")
    terminal.ok("--diary", name, "add", "7.2 7:05")

    assert len(terminal.ok("--diary", name, "list", "--json").json) == 1
    assert [os.fsencode(path.name) for path in tmp_path.glob("*book")] == [b"\xff ?#%.thimblebook"]
