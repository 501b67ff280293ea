from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.faults.acks import Acks
from tests.faults.report import Found, from_line, last_line, to_line
from tests.faults.shim import NOT_HERE, built, environment

ROOT = Path(__file__).resolve().parents[2]
GOOD = Found("power", "add", 9)
BAD = Found("power", "add", 9, ("a reading is not there",))
CONTROL = Found("power", "add", 9, ("a reading is not there",), "sync off")
WEAK = Found("kill -9", "add", 9, (), "journal off")
AWAY = Found("power", "add", control="sync off", not_run=NOT_HERE)


def test_a_control_is_good_where_it_broke_something() -> None:
    assert [each.good for each in (GOOD, BAD, CONTROL, WEAK, AWAY)] == [
        True,
        False,
        True,
        False,
        True,
    ]


def test_the_last_line_says_of_each_control_whether_it_failed() -> None:
    assert last_line([GOOD, CONTROL, WEAK, AWAY]) == (
        "Controls: power add with sync off failed; "
        "kill -9 add with journal off DID NOT FAIL; power add with sync off not run"
    )


@pytest.mark.parametrize("found", [GOOD, BAD, CONTROL, AWAY])
def test_what_was_found_crosses_to_another_process(found: Found) -> None:
    assert from_line(to_line(found)) == found
    assert from_line("Saved for Tilde") is None


def test_a_line_says_what_did_not_run_and_why() -> None:
    assert AWAY.line.endswith(f"did not run: {NOT_HERE}")


def test_a_line_cut_short_by_a_kill_is_no_acknowledgement(tmp_path: Path) -> None:
    acks = Acks(tmp_path / "acks")
    acks.begin(1)
    acks.acknowledge(1)
    acks.begin(2)
    with acks.path.open("a") as file:
        file.write("a 2")

    found = Acks.of(acks.path)

    assert (found.tried, found.done, found.next) == ([1, 2], [1], 3)


SYNCED_AND_NOT = """
import os, sys
from pathlib import Path
from tests.faults.shim import Fault, arm
folder = Path(sys.argv[1])
(folder / "old").write_bytes(b"before")
(folder / "gone").write_bytes(b"gone")
at = int(sys.argv[2])
arm(Fault("power", at, "/watched"))
old = os.open(folder / "old", os.O_RDWR)
os.pwrite(old, b"synced", 0)                          # 1
os.fsync(old)                                         # 2
os.pwrite(old, b"lost, and longer", 0)                # 3
new = os.open(folder / "new", os.O_RDWR | os.O_CREAT) # 4
os.unlink(folder / "gone")                            # 5
os.rename(folder / "old", folder / "renamed")         # 6
if sys.argv[3] == "folder":
    handle = os.open(folder, os.O_RDONLY)
    os.fsync(handle)                                  # 7
os.write(new, b"never")                               # 7 or 8
"""


@pytest.mark.parametrize("synced", ["nothing", "folder"])
def test_a_power_cut_undoes_what_was_not_synced_and_nothing_else(
    tmp_path: Path, synced: str
) -> None:
    shim = built(tmp_path)
    if shim is None:
        pytest.skip(NOT_HERE)
    folder = tmp_path / "watched"
    folder.mkdir()
    at = 8 if synced == "folder" else 7

    done = subprocess.run(
        [sys.executable, "-c", SYNCED_AND_NOT, str(folder), str(at), synced],
        cwd=ROOT,
        env=environment(shim),
        check=False,
        capture_output=True,
        text=True,
    )

    assert done.returncode == 137, done.stderr
    found = {each.name: each.read_bytes() for each in folder.iterdir()}
    if synced == "folder":
        assert found == {"renamed": b"synced", "new": b""}
    else:
        assert found == {"old": b"synced", "gone": b"gone"}


FULL = """
import os, sys
from tests.faults.shim import Fault, arm, fired
handle = os.open(sys.argv[1] + "/file", os.O_RDWR | os.O_CREAT)
other = os.open(sys.argv[1] + "-elsewhere", os.O_RDWR | os.O_CREAT)
arm(Fault(sys.argv[2], 2, "/watched/"))
os.write(other, b"x"); os.write(handle, b"x")
try:
    os.write(handle, b"x")
except OSError as problem:
    print(problem.errno, fired())
os.write(handle, b"x")
"""


@pytest.mark.parametrize(("mode", "number"), [("enospc", 28), ("eio", 5)])
def test_one_call_fails_on_watched_files_and_the_next_goes_through(
    tmp_path: Path, mode: str, number: int
) -> None:
    shim = built(tmp_path)
    if shim is None:
        pytest.skip(NOT_HERE)
    folder = tmp_path / "watched"
    folder.mkdir()

    done = subprocess.run(
        [sys.executable, "-c", FULL, str(folder), mode],
        cwd=ROOT,
        env=environment(shim),
        check=True,
        capture_output=True,
        text=True,
    )

    assert done.stdout == f"{number} True\n"
    assert (folder / "file").read_bytes() == b"xx"
