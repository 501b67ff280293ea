"""Where a diary lies: on which kind of disk, beside which copies, and who else may read it."""

from __future__ import annotations

import os
import re
import sqlite3
import stat
from collections.abc import Iterator, Set
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path, PureWindowsPath
from uuid import UUID

from app.store.durable import companions
from app.store.file import APPLICATION_ID, uri

# Kinds of file system whose locks are kept by another computer or by a program of the user
# (kernel documentation, "Filesystems"; the list is from memory and not complete).
NETWORK_KINDS = frozenset(
    {
        *("9p", "afs", "ceph", "cifs", "coda", "davfs", "fuse.davfs", "fuse.davfs2"),
        *("fuse.glusterfs", "fuse.rclone", "fuse.sshfs", "glusterfs", "lustre", "ncpfs"),
        *("nfs", "nfs4", "smb2", "smb3", "smbfs"),
    }
)

_MOUNTS = Path("/proc/self/mountinfo")
_MOST_LOOKED_AT = 500  # a folder of thousands of files must not make opening wait
_SMALLEST_PAGE = 512  # SQLite's smallest page; each database file is whole pages
_FOR_OTHERS = 0o077


@dataclass(frozen=True, slots=True)
class Compared:
    """How two files of one diary differ: how many changes only one of them has."""

    only_there: int
    only_here: int


def network_kind(path: Path, *, mounts: str | None = None, windows: bool | None = None) -> str:
    """The kind of network file system that `path` lies on; empty for a disk of this computer.

    Parameters
    ----------
    mounts : str, optional
        The text of /proc/self/mountinfo, for tests.
    windows : bool, optional
        Whether the path is one of Windows, where a network path begins with two backslashes.

    Notes
    -----
    Elsewhere (macOS) Python has no way to ask, and nothing is said.
    """
    if os.name == "nt" if windows is None else windows:
        drive = PureWindowsPath(path).drive.lower()
        local = drive.startswith(("\\\\?\\", "\\\\.\\")) and not drive.startswith("\\\\?\\unc\\")
        return "UNC" if drive.startswith("\\\\") and not local else ""
    if mounts is None:
        try:
            mounts = _MOUNTS.read_text(encoding="utf-8", errors="surrogateescape")
        except OSError:
            return ""
    kind = _kind_at(os.path.realpath(path), mounts)
    return kind if kind in NETWORK_KINDS else ""


def copies_beside(path: Path, uid: UUID) -> list[Path]:
    """The other files in the folder of `path` that say they are the diary `uid`, by name.

    Told by what stands in them, not by their names. Backups, which have their facts beside them,
    and files that are being made are none. Nothing of them is changed.
    """
    try:
        files = sorted(_database_like(path))[:_MOST_LOOKED_AT]
    except OSError:
        return []
    return [each for each in files if _uid_in(each) == uid]


def compare(here: Set[bytes], other: Path) -> Compared | None:
    """Count the changes that only one of two files of the same diary has.

    Parameters
    ----------
    here : set of bytes
        The ids of the entries in this diary's journal.

    Returns
    -------
    Compared or None
        None where `other` can't be read.
    """
    try:
        with closing(_looking(other)) as connection:
            there = {row[0] for row in connection.execute("SELECT uid FROM journal_entry")}
    except sqlite3.DatabaseError:
        return None
    return Compared(only_there=len(there - here), only_here=len(here - there))


def keep_private(path: Path) -> tuple[bool, bool]:
    """Take `path`, and what SQLite keeps beside it, out of the sight of other users.

    Returns
    -------
    (bool, bool)
        Whether others could read one of them, and whether they still can: a disk without
        permissions, or the file of somebody else.
    """
    if os.name != "posix":  # elsewhere the folder of the user has a list of who may read it
        return False, False
    was = still = False
    for each in (path, *companions(path)):
        with suppress(FileNotFoundError):
            mode = stat.S_IMODE(each.stat().st_mode)
            if mode & _FOR_OTHERS:
                was = True
                with suppress(PermissionError, OSError):
                    each.chmod(mode & ~_FOR_OTHERS)
                still |= bool(stat.S_IMODE(each.stat().st_mode) & _FOR_OTHERS)
    return was, still


def _kind_at(real: str, mounts: str) -> str:
    """The type of the innermost mount above a path; of several at one place the last one counts."""
    best, kind = "", ""
    for line in mounts.splitlines():
        before, dash, after = line.partition(" - ")
        fields = before.split(" ")
        if not dash or len(fields) < 5:
            continue
        point = re.sub(r"\\([0-7]{3})", lambda code: chr(int(code[1], 8)), fields[4])
        inside = real == point or real.startswith(point.rstrip("/") + "/")
        if inside and len(point) >= len(best):
            best, kind = point, after.split(" ")[0].lower()
    return kind


def _database_like(path: Path) -> Iterator[Path]:
    """Files beside `path` that could be databases by their size; never the file itself."""
    own = path.stat()
    with os.scandir(path.parent) as found:
        for each in found:
            with suppress(OSError):
                if each.name.startswith(f".{path.name}.") or not each.is_file():
                    continue
                size = each.stat()
                if not size.st_size or size.st_size % _SMALLEST_PAGE:
                    continue
                beside = Path(each.path)
                if not os.path.samestat(own, beside.stat()) and not _is_backup(beside):
                    yield beside


def _is_backup(path: Path) -> bool:
    return path.with_name(f"{path.name}.json").exists()


def _uid_in(path: Path) -> UUID | None:
    with suppress(sqlite3.DatabaseError), closing(_looking(path)) as connection:
        if connection.execute("PRAGMA application_id").fetchone()[0] == APPLICATION_ID:
            found = connection.execute("SELECT uid FROM diary").fetchone()
            return UUID(bytes=found[0]) if found else None
    return None


def _looking(path: Path) -> sqlite3.Connection:
    """A look without a lock and without a byte written.

    Through SQLite, since closing a handle of our own would drop the locks that this process holds
    on the file (POSIX advisory locks).
    """
    return sqlite3.connect(uri(path, writable=False) + "&immutable=1", uri=True)
