"""Nobody else on the computer can read what is written, and nothing leaves it."""

from __future__ import annotations

import os
import socket
import stat
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from app.cli.main import VERBS
from tests.commands import Terminal

ROOT = Path(__file__).resolve().parent.parent
ROWS = "date,time,value,meal\n2026-03-01,07:05,5.6,waking\n2026-03-01,12:10,HI,lunch\n"
MARKER = "Quillon"  # an invented name, found nowhere else

RECIPE = """
name = "kitchen"
delimiter = "comma"
unit = "mmol/L"
date_format = "YYYY-MM-DD"
time_format = "HH:MM"

[columns]
date = "date"
time = "time"
value = "value"
mark = "meal"
"""

# Python tells its audit hooks of each socket and each look-up of a name, however it came about,
# and a hook can't be taken away again ("PEP 578").
OFFLINE = """
import sys
def refuse(event, arguments):
    if event.startswith("socket.") and event != "socket.gethostname":
        raise SystemExit(f"tried the network: {event} {arguments}")
sys.addaudithook(refuse)
from app.__main__ import run
run()
"""


def a_day_with_it(folder: Path) -> list[list[str]]:
    """Commands that use every verb without a window, in an order that works."""
    (folder / "file.csv").write_text(ROWS)
    (folder / "recipe.toml").write_text(RECIPE)
    known = {kind.name for kind in VERBS}
    words = [
        ["person", "add", MARKER, "--unit", "mmol/L", "--zone", "Europe/Lisbon"],
        ["person", "list"],
        ["add", "7.2 before lunch", "--sure"],
        ["list"],
        ["import", str(folder / "file.csv"), "--recipe", str(folder / "recipe.toml")],
        ["figures", "--all-time"],
        ["export", "--as", "csv", str(folder / "out.csv")],
        ["export", "--as", "jsonl", str(folder / "out.jsonl")],
        ["export", "--as", "sqlite", str(folder / "out.sqlite")],
        ["check"],
        ["backup", str(folder / "second place")],
        ["undo"],
    ]
    return [each for each in words if each[0] in known]


def run_all(
    words: Sequence[Sequence[str]], folder: Path, *before: str, script: str = OFFLINE
) -> None:
    """Run each command as a program of its own, under a mask that lets everybody read."""
    temporary = folder / "temporary"
    temporary.mkdir(exist_ok=True)
    for each in words:
        done = subprocess.run(
            [*before, sys.executable, "-c", script, *each],
            capture_output=True,
            text=True,
            check=False,
            cwd=ROOT,
            env={**os.environ, "TMPDIR": str(temporary)},
            umask=0o022,
        )
        assert done.returncode == 0, (each, done.stdout, done.stderr)


def test_everything_that_is_written_is_for_its_owner_alone(home: Path, tmp_path: Path) -> None:
    run_all(a_day_with_it(tmp_path), tmp_path)

    ours = [each for each in home.rglob("*") if each.name != "runtime"]
    ours += [tmp_path / f"out.{form}" for form in ("csv", "jsonl", "sqlite")]
    ours += [*(tmp_path / "second place").rglob("*")]
    wide = {
        str(each): oct(stat.S_IMODE(each.stat().st_mode))
        for each in ours
        if each.exists()
        and stat.S_IMODE(each.stat().st_mode) & 0o077
        # The folders that lead to ours belong to every program.
        and each not in (home / ".local", home / ".local/share", home / ".local/state")
    }
    assert [each.name for each in ours if each.suffix == ".thimblebook"]
    assert wide == {}
    assert list((tmp_path / "temporary").iterdir()) == []


def test_what_is_kept_beside_the_diary_names_nobody(home: Path, tmp_path: Path) -> None:
    run_all(a_day_with_it(tmp_path), tmp_path)

    state = home / ".local" / "state"
    files = [each for each in state.rglob("*") if each.is_file()]
    assert files
    for each in files:
        assert MARKER.encode() not in each.read_bytes()
        assert b"7.2" not in each.read_bytes()


def test_every_verb_works_without_a_network(home: Path, tmp_path: Path) -> None:
    alone = ["unshare", "-rn"]
    if os.name != "posix" or not _can(*alone, "true"):
        pytest.skip("this system can't take the network away from one program")

    run_all(a_day_with_it(tmp_path), tmp_path, *alone)


def test_no_verb_makes_a_socket(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object, **__: object) -> None:
        raise AssertionError("tried the network")

    for name in ("socket", "create_connection", "getaddrinfo", "create_server", "socketpair"):
        monkeypatch.setattr(socket, name, refused)
    terminal = Terminal(tmp_path)

    for each in a_day_with_it(tmp_path):
        terminal.ok(*each)


def test_the_test_would_notice_a_socket(tmp_path: Path) -> None:
    script = OFFLINE.replace(
        "from app.__main__ import run\nrun()", "import socket; socket.socket()"
    )

    with pytest.raises(AssertionError, match="tried the network"):
        run_all([[]], tmp_path, script=script)


def test_a_person_of_the_same_computer_reads_neither_diary_nor_journal(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    before = os.umask(0o022)  # as a program sees it that was started by another one
    try:
        terminal.ok("person", "add", MARKER, "--unit", "mmol/L", "--zone", "Europe/Lisbon")
        modes = _modes_while_writing(terminal)
    finally:
        os.umask(before)

    assert modes == {"diary.thimblebook": 0o600, "diary.thimblebook-journal": 0o600}


def _modes_while_writing(terminal: Terminal) -> dict[str, int]:
    from app.store.diary_file import open_diary
    from tests.households import INSTALLATION, NOW

    with (
        open_diary(terminal.diary, INSTALLATION) as diary,
        diary.change("test", {}, now=NOW) as change,
    ):
        change.connection.exec_driver_sql("UPDATE diary SET change_counter = change_counter + 1")
        return {
            each.name: stat.S_IMODE(each.stat().st_mode)
            for each in terminal.folder.glob("diary.thimblebook*")
        }


def _can(*words: str) -> bool:
    try:
        return subprocess.run(words, capture_output=True, check=False).returncode == 0
    except OSError:
        return False
