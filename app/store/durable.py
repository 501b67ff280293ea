"""Files and folders for this user's eyes alone, made so that they outlive a power cut."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from uuid import uuid4

_A_DAY = 86_400


def private_folder(folder: Path) -> None:
    """Make a folder and what leads to it, each 0700; those that are there keep their mode."""
    missing = [each for each in (folder, *folder.parents) if not each.exists()]
    for each in reversed(missing):
        each.mkdir(mode=0o700, exist_ok=True)
        sync_folder(each.parent)


def private_file(path: Path) -> None:
    """Make an empty file 0600, whatever the umask says; something that is there is an error."""
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))


def sync_file(path: Path) -> None:
    """Return when what was written to a file is on the disk."""
    handle = os.open(path, os.O_RDWR)  # Windows syncs only what may be written
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_folder(folder: Path) -> None:
    """Return when the names in a folder are on the disk, where the system can do that."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except PermissionError:  # Windows opens no folder; its file system keeps names by itself
        return
    try:
        os.fsync(handle)
    except OSError:  # some network file systems know no sync of a folder
        pass
    finally:
        os.close(handle)


def passing_name(beside: Path, doing: str) -> Path:
    """A name in the same folder for a file that is not finished; hidden, never taken."""
    return beside.with_name(f"{_prefix(beside, doing)}{uuid4().hex}")


def sweep(beside: Path, doing: str, *, now: float) -> None:
    """Remove what a run that was killed left under a passing name more than a day ago.

    Younger ones may belong to a run that is still at work.
    """
    for each in beside.parent.glob("." + "*"):
        if each.name.startswith(_prefix(beside, doing)):
            with suppress(OSError):
                if now - each.stat().st_mtime > _A_DAY:
                    each.unlink()


def remove_with_company(path: Path) -> None:
    """Remove an unfinished database file and the journals that SQLite keeps beside it."""
    for each in (path, *companions(path)):
        with suppress(OSError):  # where nothing can be written, nothing is there to be removed
            each.unlink(missing_ok=True)


def companions(path: Path) -> list[Path]:
    """The names under which SQLite keeps what belongs to a database file, there or not."""
    return [path.with_name(path.name + ending) for ending in ("-journal", "-wal", "-shm")]


def _prefix(beside: Path, doing: str) -> str:
    return f".{beside.name}.{doing}."
