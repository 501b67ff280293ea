from __future__ import annotations

import os
import shutil
import stat
from pathlib import Path, PureWindowsPath
from typing import cast
from uuid import UUID

import pytest

from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.opening import identity_in
from app.store.places import compare, copies_beside, keep_private, network_kind
from tests.households import INSTALLATION, NOW, new_diary, tilde, written

# proc(5): mount ID, parent, major:minor, root, mount point, options, optional fields, -, type, ...
MOUNTS = """\
22 1 254:1 / / rw,relatime shared:1 - ext4 /dev/vda1 rw
40 22 0:35 / /media/house{kind_mount} rw shared:20 - {kind} server:/house rw
41 22 254:2 / /media/house\\040two rw - btrfs /dev/vdb rw
"""


@pytest.mark.parametrize(
    "kind", ["nfs", "nfs4", "cifs", "smb3", "fuse.sshfs", "davfs", "fuse.davfs", "9p"]
)
def test_a_disk_of_another_computer_is_known_by_its_kind(kind: str) -> None:
    mounts = MOUNTS.format(kind=kind, kind_mount="")

    assert network_kind(Path("/media/house/d.thimblebook"), mounts=mounts) == kind


@pytest.mark.parametrize("kind", ["ext4", "btrfs", "xfs", "tmpfs", "overlay", "fuseblk", "vfat"])
def test_a_disk_of_this_computer_is_none(kind: str) -> None:
    mounts = MOUNTS.format(kind=kind, kind_mount="")

    assert network_kind(Path("/media/house/d.thimblebook"), mounts=mounts) == ""


def test_the_innermost_mount_counts() -> None:
    outer = MOUNTS.format(kind="nfs", kind_mount="")
    inner = outer + "42 40 254:3 / /media/house/own rw - ext4 /dev/vdc rw\n"

    assert network_kind(Path("/media/house/own/d"), mounts=inner) == ""
    assert network_kind(Path("/media/house/other/d"), mounts=inner) == "nfs"


def test_what_is_mounted_over_a_mount_counts() -> None:
    twice = MOUNTS.format(kind="ext4", kind_mount="") + "43 40 0:40 / /media/house rw - cifs //s rw"

    assert network_kind(Path("/media/house/d"), mounts=twice) == "cifs"


def test_a_name_that_only_begins_alike_is_another_folder() -> None:
    mounts = MOUNTS.format(kind="nfs", kind_mount="")

    assert network_kind(Path("/media/household/d"), mounts=mounts) == ""
    assert network_kind(Path("/media/house two/d"), mounts=mounts) == ""


def test_a_mount_point_with_a_space_is_read() -> None:
    mounts = MOUNTS.format(kind="nfs", kind_mount="\\040of\\040all")

    assert network_kind(Path("/media/house of all/d"), mounts=mounts) == "nfs"


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        (r"\\server\share\d.thimblebook", "UNC"),
        (r"\\?\UNC\server\share\d.thimblebook", "UNC"),
        (r"\\?\C:\Users\d.thimblebook", ""),
        (r"C:\Users\d.thimblebook", ""),
    ],
)
def test_a_network_path_of_windows_is_known(path: str, kind: str) -> None:
    assert network_kind(cast("Path", PureWindowsPath(path)), windows=True) == kind


def test_the_mounts_of_this_system_can_be_read(tmp_path: Path) -> None:
    assert isinstance(network_kind(tmp_path), str)


def uid_of(diary: Diary) -> UUID:
    with diary.reading() as connection:
        found = identity_in(connection, INSTALLATION)
    assert found is not None
    return found.uid


def entries_of(diary: Diary) -> set[bytes]:
    with diary.reading() as connection:
        return {row[0] for row in connection.exec_driver_sql("SELECT uid FROM journal_entry")}


def test_copies_are_found_by_what_stands_in_them(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        tilde(diary)
        uid = uid_of(diary)
    new_diary(tmp_path, "of somebody else.thimblebook").close()
    shutil.copy(diary.path, tmp_path / "holiday.bin")
    shutil.copy(diary.path, tmp_path / "diary (2).thimblebook")
    (tmp_path / "notes.txt").write_bytes(b"x" * 1024)
    os.link(diary.path, tmp_path / "the same file again")

    found = copies_beside(diary.path, uid)

    assert [each.name for each in found] == ["diary (2).thimblebook", "holiday.bin"]


def test_a_backup_with_its_facts_is_no_copy_to_be_told_of(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        uid = uid_of(diary)
    shutil.copy(diary.path, tmp_path / "backup.thimblebook")
    (tmp_path / "backup.thimblebook.json").write_text("{}")

    assert copies_beside(diary.path, uid) == []


def test_two_copies_are_compared_by_their_changes(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
    other = tmp_path / "other.thimblebook"
    shutil.copy(diary.path, other)
    with open_diary(diary.path, INSTALLATION) as here:
        written(here, person, "2026-03-12 02:10", "2.9")
    with open_diary(other, UUID(int=7)) as there:
        written(there, person, "2026-03-12 02:26", "3.4")
        written(there, person, "2026-03-12 02:43", "4.3")

    with open_diary(diary.path, INSTALLATION) as here:
        found = compare(entries_of(here), other)

    assert found is not None
    assert (found.only_there, found.only_here) == (2, 1)


def test_a_copy_that_cannot_be_read_compares_to_nothing(tmp_path: Path) -> None:
    other = tmp_path / "other.thimblebook"
    other.write_bytes(b"SQLite format 3\0" + bytes(4080))

    assert compare(set(), other) is None


def test_a_file_that_others_can_read_is_made_private(tmp_path: Path) -> None:
    path = tmp_path / "diary.thimblebook"
    beside = tmp_path / "diary.thimblebook-journal"
    for each in (path, beside):
        each.touch()
        each.chmod(0o644)

    assert keep_private(path) == (True, False)
    assert [stat.S_IMODE(each.stat().st_mode) for each in (path, beside)] == [0o600, 0o600]
    assert keep_private(path) == (False, False)


def test_a_disk_without_permissions_is_told_apart(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "diary.thimblebook"
    path.touch()
    path.chmod(0o644)

    def stays(*_: object, **__: object) -> None:
        raise PermissionError

    monkeypatch.setattr(Path, "chmod", stays)

    assert keep_private(path) == (True, True)


def test_looking_for_copies_leaves_the_locks_of_an_open_diary(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        uid = uid_of(diary)
        shutil.copy(diary.path, tmp_path / "copy")
        with diary.change("test", {}, now=NOW, person=person):
            assert copies_beside(diary.path, uid)
            # A second writer must still find the first one's lock.
            assert _is_locked(diary.path)


def _is_locked(path: Path) -> bool:
    import subprocess
    import sys

    script = (
        "import sqlite3, sys\n"
        "c = sqlite3.connect(sys.argv[1], timeout=0, isolation_level=None)\n"
        "try:\n    c.execute('BEGIN IMMEDIATE')\n"
        "except sqlite3.OperationalError as problem:\n    print(problem)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(path)], capture_output=True, text=True, check=True
    )
    return "locked" in done.stdout
