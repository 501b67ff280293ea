from __future__ import annotations

import json
import os
import signal
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from app.store.lock import AlreadyOpen, lock_file, take_lock
from tests.households import NOW

ROOT = Path(__file__).resolve().parent.parent

HOLD = """
import sys
from pathlib import Path
from app.store.lock import take_lock
from tests.households import NOW
lock = take_lock(Path(sys.argv[1]), now=NOW)
print("held", lock.held, flush=True)
sys.stdin.read()
"""


def holding(diary: Path) -> subprocess.Popen[str]:
    """Another process that has the lock."""
    process = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(diary)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "held True\n"
    return process


def ended(process: subprocess.Popen[str], number: signal.Signals) -> None:
    process.send_signal(number)
    process.wait()
    for stream in (process.stdin, process.stdout):
        assert stream is not None
        stream.close()


def test_the_lock_says_who_holds_it_to_its_owner_alone(tmp_path: Path) -> None:
    diary = tmp_path / "diary.thimblebook"

    with take_lock(diary, now=NOW, host="kitchen") as lock:
        said = json.loads(lock_file(diary).read_text())
        mode = stat.S_IMODE(lock_file(diary).stat().st_mode)

        assert lock.held
        assert said == {"pid": os.getpid(), "host": "kitchen", "since": "2026-03-12T21:30:00+00:00"}
        assert mode == 0o600
    assert list(tmp_path.iterdir()) == []


def test_a_second_window_is_refused_and_told_who_holds_it(tmp_path: Path) -> None:
    diary = tmp_path / "diary.thimblebook"
    first = holding(diary)
    try:
        with pytest.raises(AlreadyOpen, match="another window on this computer") as refused:
            take_lock(diary, now=NOW)
        assert refused.value.here
        assert refused.value.holder is not None
        assert refused.value.holder.pid == first.pid
    finally:
        ended(first, signal.SIGTERM)


def test_after_a_kill_the_lock_is_taken_again_at_once(tmp_path: Path) -> None:
    diary = tmp_path / "diary.thimblebook"
    ended(holding(diary), signal.SIGKILL)
    assert lock_file(diary).exists()

    with take_lock(diary, now=NOW) as lock:
        assert lock.held
        assert json.loads(lock_file(diary).read_text())["pid"] == os.getpid()


def test_two_windows_of_one_process_are_two(tmp_path: Path) -> None:
    diary = tmp_path / "diary.thimblebook"

    with take_lock(diary, now=NOW), pytest.raises(AlreadyOpen):
        take_lock(diary, now=NOW)

    take_lock(diary, now=NOW).release()


def test_a_lock_of_another_computer_is_told_of_and_left(tmp_path: Path) -> None:
    diary = tmp_path / "diary.thimblebook"
    left = '{"pid": 4, "host": "garden", "since": "2026-03-11T07:00:00+00:00"}'
    lock_file(diary).write_text(left)

    with pytest.raises(AlreadyOpen, match='the computer "garden"') as refused:
        take_lock(diary, now=NOW, host="kitchen")

    assert not refused.value.here
    assert str(lock_file(diary)) in str(refused.value)
    assert lock_file(diary).read_text() == left


def test_a_torn_lock_is_nobodys(tmp_path: Path) -> None:
    diary = tmp_path / "diary.thimblebook"
    lock_file(diary).write_text('{"pid": 4, "ho')

    with take_lock(diary, now=NOW) as lock:
        assert lock.held


def test_one_file_under_two_names_has_one_lock(tmp_path: Path) -> None:
    diary = tmp_path / "diary.thimblebook"
    diary.touch()
    other = tmp_path / "elsewhere" / "link.thimblebook"
    other.parent.mkdir()
    other.symlink_to(diary)

    with take_lock(diary, now=NOW), pytest.raises(AlreadyOpen):
        take_lock(other, now=NOW)


def test_where_nothing_can_be_written_nothing_is_locked(tmp_path: Path) -> None:
    lock = take_lock(tmp_path / "no folder" / "diary.thimblebook", now=NOW)

    assert not lock.held
    lock.release()


def test_a_lock_file_removed_meanwhile_is_made_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    diary = tmp_path / "diary.thimblebook"
    from app.store import lock as module

    original = module._lock
    gone: list[object] = []

    def slow(handle: int) -> bool:
        if not gone:  # between our opening and our locking, its last holder removes it
            lock_file(diary).unlink()
            gone.append(True)
        return original(handle)

    monkeypatch.setattr(module, "_lock", slow)

    with take_lock(diary, now=NOW) as lock:
        assert lock.held
        assert lock_file(diary).exists()
