"""What kind of file lies at a path, asked by plain sqlite3 before anything is written."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from app.domain.errors import Busy, Damaged, FileFromNewerVersion, NotADiary, StoreUnavailable

APPLICATION_ID = 0x54484D42  # "THMB"
SCHEMA_VERSION = 6  # the number of the newest migration; a test holds it against migrations/

_SURROUNDINGS = tuple(
    f"SQLITE_{name}"
    for name in (
        *("BUSY", "LOCKED", "IOERR", "CANTOPEN", "READONLY", "FULL", "PERM", "AUTH", "NOMEM"),
        *("INTERRUPT", "PROTOCOL", "CONSTRAINT", "MISUSE"),
    )
)


@dataclass(frozen=True, slots=True)
class DiaryFile:
    """A diary file that may be opened: where, whether it may be written, which schema it has.

    A damaged one is never written; what of it can be read is for the reader to find out.
    """

    path: Path
    writable: bool
    version: int
    damaged: bool = False


def inspect(path: Path) -> DiaryFile:
    """Look at the file at `path` without changing a byte of it.

    Raises
    ------
    StoreUnavailable
        It is missing, no file, can't be read, or is damaged so much that nobody knows what it is.
    NotADiary
        It is something else than one of our files.
    FileFromNewerVersion
        Its schema is newer than this program.
    """
    _must_be_there(path)
    _must_be_ours(path)
    writable = os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
    damaged = False
    try:
        with closing(
            sqlite3.connect(uri(path, writable=writable), uri=True, timeout=5)
        ) as connection:
            connection.text_factory = lambda raw: raw.decode(errors="replace")  # names in messages
            version = connection.execute("PRAGMA user_version").fetchone()[0]
            if version <= SCHEMA_VERSION:
                damaged = not _is_sound(connection, path)
    except (sqlite3.DatabaseError, UnicodeError) as problem:  # the last: in a message too
        if not is_damage(problem):
            raise unreadable(path, problem) from problem
        version, damaged = _version_of_damaged(path), True
    if version > SCHEMA_VERSION:
        raise FileFromNewerVersion(
            f"{path} was written by a newer Thimblebook (its version {version}, this program knows "
            f"{SCHEMA_VERSION}). It was left untouched; open it with the newer program."
        )
    return DiaryFile(path, writable and not damaged, version, damaged)


def is_damage(problem: Exception) -> bool:
    """Whether what SQLite ran into lies in the file, and not in what surrounds it."""
    code = getattr(problem, "sqlite_errorname", "")
    return not code.startswith(_SURROUNDINGS)


def uri(path: Path, *, writable: bool) -> str:
    """The SQLite address of an existing file; opening it never makes one."""
    return f"file:{quote(os.fsencode(path.absolute()))}?mode={'rw' if writable else 'ro'}"


def unreadable(path: Path, problem: Exception) -> StoreUnavailable:
    """The plain sentence for what SQLite could not do with a diary file."""
    said = str(problem).lower()
    if "locked" in said:
        return Busy(
            f"Another program is writing to {path} and did not finish in time. "
            "Nothing was changed; try again in a moment."
        )
    if "full" in said:
        return StoreUnavailable(
            "Not saved: the disk is full. Everything saved before is safe. "
            "Free some space, then do it again."
        )
    if "readonly" in said or "read-only" in said:
        return StoreUnavailable(
            f"{path} can only be read here, so nothing was saved. Everything in it is safe; "
            "move it to a folder where you may write, or change its permissions."
        )
    if "i/o" in said or "unable to open" in said:
        return StoreUnavailable(
            f"The disk did not answer while reading or writing {path}. What was saved before is "
            "safe as far as the disk is; check the disk, then try again."
        )
    from app.store.damage import damage_sentence  # it lists the backups, which is seldom needed

    return Damaged(damage_sentence(path, shown=False))


def _must_be_there(path: Path) -> None:
    try:
        path.stat()
    except FileNotFoundError:
        raise StoreUnavailable(
            f"There is no diary at {path}. Nothing was made. If it lies on another disk, bring "
            "that back; to begin a new one: thimblebook person add NAME --unit mmol/L --zone "
            "Region/City"
        ) from None
    except OSError as problem:
        raise StoreUnavailable(
            f"{path} can't be read ({problem.strerror}). Nothing was changed."
        ) from problem
    if path.is_dir():
        raise NotADiary(f"{path} is a folder, not a diary file. Name the file in it.")
    if not os.access(path, os.R_OK):
        raise StoreUnavailable(f"{path} can't be read (Permission denied). Nothing was changed.")


def _must_be_ours(path: Path) -> None:
    """Ask the file itself, without its journal: that of another program is not ours to roll back.

    Asked through SQLite too: closing a handle of our own would drop the locks that this process
    holds on the file (POSIX advisory locks).
    """
    address = uri(path, writable=False) + "&immutable=1"
    try:
        with closing(sqlite3.connect(address, uri=True)) as connection:
            connection.execute("PRAGMA writable_schema = ON")  # or a file that was cut is refused
            application = connection.execute("PRAGMA application_id").fetchone()[0]
            empty = connection.execute("PRAGMA page_count").fetchone()[0] == 0
    except sqlite3.DatabaseError as problem:
        if "not a database" not in str(problem):
            raise unreadable(path, problem) from problem
        empty = True
    if empty:
        raise NotADiary(
            f"{path} is not a Thimblebook diary. It was left untouched; "
            "give the path of a .thimblebook file, or bring a file of readings in with import."
        )
    if application != APPLICATION_ID:
        raise NotADiary(
            f"{path} is a database of another program, not a Thimblebook diary. "
            "It was left untouched; give the path of a .thimblebook file."
        )


def _is_sound(connection: sqlite3.Connection, path: Path) -> bool:
    connection.execute("BEGIN")  # one state throughout: nobody's commit changes the size meanwhile
    if connection.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
        return False
    pages, size = (
        connection.execute(f"PRAGMA {name}").fetchone()[0] for name in ("page_count", "page_size")
    )
    # Another program may have it in write-ahead mode, its newest pages in a file of their own.
    beside = connection.execute("PRAGMA journal_mode").fetchone()[0] == "wal"
    # A last page cut short reads as zeros, unnoticed.
    sound = bool(beside or path.stat().st_size == pages * size)
    connection.execute("COMMIT")
    return sound


def _version_of_damaged(path: Path) -> int:
    try:
        with closing(sqlite3.connect(uri(path, writable=False), uri=True)) as connection:
            connection.execute("PRAGMA writable_schema = ON")  # or a file that was cut is refused
            return int(connection.execute("PRAGMA user_version").fetchone()[0])
    except sqlite3.DatabaseError as problem:
        raise unreadable(path, problem) from problem
