from __future__ import annotations

import os
import shutil
import sqlite3
import stat
import subprocess
import sys
from collections import namedtuple
from collections.abc import Callable
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from app.domain.errors import DiaryError, FileFromNewerVersion, NotADiary, Refused, StoreUnavailable
from app.store.backup_facts import list_backups, newest_verified
from app.store.check import check_diary
from app.store.diary_file import open_diary
from app.store.file import SCHEMA_VERSION, inspect
from app.store.state_hash import state_hash
from app.work.backup import backup_now
from app.work.restore import restore
from tests.households import INSTALLATION, NOW, new_diary, tilde, written

ROOT = Path(__file__).resolve().parent.parent
OLD_DIARIES = sorted((ROOT / "tests" / "data" / "versions").glob("*.thimblebook"))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A diary of two readings; the backup beside it has one."""
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        written(diary, person, "2026-03-12 02:10", "2.9")
        backup_now(diary, now=NOW - timedelta(days=1))
        written(diary, person, "2026-03-12 02:26", "3.4")
        return diary.path


@pytest.fixture
def backup(path: Path) -> Path:
    (made,) = list_backups(path)
    return made.path


def said_by(path: Path) -> str:
    with open_diary(path, INSTALLATION) as diary:
        assert check_diary(diary).wrong == ()
        return state_hash(diary)


def everything_in(folder: Path) -> dict[str, bytes]:
    return {
        str(each.relative_to(folder)): each.read_bytes()
        for each in sorted(folder.rglob("*"))
        if each.is_file()
    }


def test_a_restore_brings_back_what_the_backup_says_and_keeps_the_present(
    path: Path, backup: Path
) -> None:
    before, old = said_by(path), said_by(backup)

    done = restore(path, backup, now=NOW)

    assert said_by(path) == old
    assert done.readings == 1
    assert done.set_aside is not None
    assert said_by(done.set_aside) == before
    assert done.before is not None
    assert said_by(done.before.path) == before


def test_a_restore_can_be_undone_and_done_again(path: Path, backup: Path) -> None:
    before, old = said_by(path), said_by(backup)

    first = restore(path, backup, now=NOW)
    assert first.set_aside is not None
    assert first.set_aside.name in first.sentence
    second = restore(path, first.set_aside, now=NOW)

    assert said_by(path) == before
    assert second.set_aside is not None
    assert said_by(second.set_aside) == old
    assert said_by(first.set_aside) == before


def test_after_a_restore_the_restored_state_is_the_newest_checked_backup(
    path: Path, backup: Path
) -> None:
    restore(path, backup, now=NOW)

    newest = newest_verified(path, certain=True)

    assert newest is not None
    assert (newest.why, newest.apart, newest.readings) == ("restored", False, 1)


def test_nothing_unfinished_is_left_and_nobody_else_reads_it(path: Path, backup: Path) -> None:
    umask = os.umask(0o022)
    try:
        done = restore(path, backup, now=NOW)
    finally:
        os.umask(umask)

    assert done.set_aside is not None
    assert sorted(each.name for each in path.parent.iterdir()) == ["backups", path.name]
    for each in (path, *(path.parent / "backups").iterdir()):
        assert stat.S_IMODE(each.stat().st_mode) == 0o600
        assert each.stat().st_nlink == 1


@pytest.mark.parametrize("state", ["gone", "noise", "cut", "empty"])
def test_a_lost_or_damaged_diary_is_restored_and_what_is_left_of_it_kept(
    path: Path, backup: Path, state: str
) -> None:
    old, content = said_by(backup), path.read_bytes()
    left = {"noise": os.urandom(8192), "cut": content[:-700], "empty": b"", "gone": None}[state]
    path.unlink() if left is None else path.write_bytes(left)

    done = restore(path, backup, now=NOW)

    assert said_by(path) == old
    assert done.before is None
    assert (done.set_aside.read_bytes() if done.set_aside else None) == left


def test_what_a_write_left_beside_a_lost_diary_is_not_played_into_the_restored_one(
    path: Path, backup: Path
) -> None:
    old = said_by(backup)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA cache_size = 1")  # so that pages are written before the end
        connection.execute("BEGIN")
        connection.execute("UPDATE reading SET value = '9.9'")
        connection.execute("CREATE TABLE big AS SELECT randomblob(90000) AS x")
        journal = path.with_name(path.name + "-journal")
        hot = journal.read_bytes()
        connection.execute("ROLLBACK")
    path.unlink()
    journal.write_bytes(hot)

    restore(path, backup, now=NOW)

    assert not journal.exists()
    kept = path.parent / "backups" / "diary-2026-03-12-213000-set-aside.thimblebook-journal"
    assert kept.read_bytes() == hot
    assert said_by(path) == old


@pytest.mark.parametrize("old", OLD_DIARIES, ids=lambda path: path.stem)
def test_a_backup_of_every_version_so_far_can_be_restored(path: Path, old: Path) -> None:
    stick = path.parent / "stick"
    stick.mkdir()
    file = Path(shutil.copyfile(old, stick / old.name))
    content = file.read_bytes()

    restore(path, file, now=NOW)

    assert inspect(path).version == SCHEMA_VERSION
    with open_diary(path, INSTALLATION) as diary:
        assert check_diary(diary).wrong == ()
    assert file.read_bytes() == content


def newer(file: Path) -> None:
    with closing(sqlite3.connect(file)) as connection:
        connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION + 1}")


def others(file: Path) -> None:
    file.write_text("waking 5.6\n")


def zeros(file: Path) -> None:
    content = file.read_bytes()
    file.write_bytes(content[:8192] + bytes(4096) + content[12288:])


def cut(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:-700])


def a_changed_value(file: Path) -> None:
    content = file.read_bytes()
    at = content.rindex(b"2026-03-12T02:10")
    file.write_bytes(content[:at] + b"2026-03-12T02:11" + content[at + 16 :])


@pytest.mark.parametrize(
    ("spoil", "trouble", "says"),
    [
        (Path.unlink, StoreUnavailable, "There is no file"),
        (newer, FileFromNewerVersion, "newer Thimblebook"),
        (others, NotADiary, "not a Thimblebook diary"),
        (cut, StoreUnavailable, "is damaged and was not restored"),
        (zeros, StoreUnavailable, "is damaged and was not restored"),
        (a_changed_value, StoreUnavailable, "are not as they were written"),
    ],
)
def test_a_file_that_is_not_good_is_refused_and_nothing_is_changed(
    path: Path, backup: Path, spoil: Callable[[Path], object],
    trouble: type[DiaryError], says: str,
) -> None:  # fmt: skip
    file = Path(shutil.copyfile(backup, path.parent / "copy.thimblebook"))
    spoil(file)
    before = everything_in(path.parent)

    with pytest.raises(trouble, match=says):
        restore(path, file, now=NOW)

    assert everything_in(path.parent) == before


def test_a_backup_that_is_no_longer_what_was_checked_is_refused(path: Path, backup: Path) -> None:
    a_changed_value(backup)
    before = everything_in(path.parent)

    with pytest.raises(StoreUnavailable, match="no longer what was checked on 2026-03-11"):
        restore(path, backup, now=NOW)

    assert everything_in(path.parent) == before


def test_the_diary_itself_is_not_restored_from(path: Path) -> None:
    with pytest.raises(Refused, match="is the diary itself"):
        restore(path, path, now=NOW)


def test_no_room_is_said_before_anything_is_written(
    path: Path, backup: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = everything_in(path.parent)
    little = int(2.4 * path.stat().st_size)
    usage = namedtuple("usage", "free")
    monkeypatch.setattr("shutil.disk_usage", lambda _: usage(little))

    with pytest.raises(StoreUnavailable, match=r"Nothing was restored: it needs \d\.\d MB"):
        restore(path, backup, now=NOW)

    assert everything_in(path.parent) == before


def test_a_diary_in_use_is_left_as_it_is(path: Path, backup: Path) -> None:
    old = said_by(path)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreUnavailable, match="Another program is using"):
            restore(path, backup, now=NOW)
        other.execute("ROLLBACK")

    assert said_by(path) == old
    assert [each.name for each in path.parent.iterdir() if each.name.startswith(".")] == []
    assert not list((path.parent / "backups").glob("*set-aside*"))


def test_without_links_the_present_diary_is_set_aside_as_a_copy(
    path: Path, backup: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, old = said_by(path), said_by(backup)

    def no_links(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)

    done = restore(path, backup, now=NOW)

    assert done.set_aside is not None
    assert (said_by(path), said_by(done.set_aside)) == (old, before)
    assert stat.S_IMODE(done.set_aside.stat().st_mode) == 0o600


def test_a_second_name_that_a_killed_restore_left_is_forgotten(path: Path, backup: Path) -> None:
    second = path.parent / "backups" / "diary-2026-03-12-213000-set-aside.thimblebook"
    os.link(path, second)

    done = restore(path, backup, now=NOW)

    assert done.set_aside == second
    assert second.stat().st_nlink == 1


def test_no_kill_loses_a_row_or_leaves_a_half_diary() -> None:
    if not hasattr(os, "fork") or not hasattr(os, "pidfd_open"):
        pytest.skip("processes can't be killed at chosen calls on this system")
    done = subprocess.run(
        [sys.executable, "-m", "tests.faults.backups"],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
    )

    assert done.returncode == 0, done.stdout + done.stderr
    lines = done.stdout.splitlines()
    assert [line.split(":")[0] for line in lines] == ["backup", "restore"]
    assert all("0 broken; control failed as it must" in line for line in lines)
