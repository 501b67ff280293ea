"""An earlier file takes the diary's place: copied, checked, brought up to date, then swapped in."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from app.domain.errors import Refused, StoreUnavailable
from app.domain.steps import Step, part_of
from app.store.backup import Copied, copy_connection
from app.store.backup_check import check_copy
from app.store.backup_facts import ENDING, default_folder, facts_beside, local, still_as_checked
from app.store.diary_file import bring_up
from app.store.durable import (
    companions,
    passing_name,
    private_file,
    private_folder,
    remove_with_company,
    sweep,
    sync_file,
    sync_folder,
)
from app.store.file import SCHEMA_VERSION, DiaryFile, inspect, is_damage, uri

ROOM_NEEDED = 2.5  # times the larger of both files: the copy, its migration, a backup before it
_DOING = "restoring"
_ASIDE = "-set-aside"


@dataclass(frozen=True, slots=True)
class Prepared:
    """A checked copy of newest schema that lies beside the diary, and what it was copied from."""

    copy: Path
    path: Path
    copied: Copied


@contextmanager
def prepared(
    path: Path, file: Path, *, now: datetime, step: Step | None = None
) -> Iterator[Prepared]:
    """Copy, check and bring up to date what is to take the diary's place; gone afterwards.

    Neither `path` nor `file` is changed. `step` is told how far it has come; what it raises ends
    it.

    Raises
    ------
    Refused
        It is the diary itself.
    DiaryError
        It is missing, not ours, newer, damaged, or there is no room: said in one sentence.
    """
    target = path.resolve()
    if file.exists() and target.exists() and file.samefile(target):
        raise Refused(f"{file} is the diary itself; it was left as it is. Name a backup.")
    found = _looked_at(file)
    copy = passing_name(target, _DOING)
    try:
        private_folder(target.parent)
        sweep(target, _DOING, now=now.timestamp())
        _must_have_room(target, file)
        copied = _copied(file, copy, part_of(step, 0, 50))
        _must_be_good(file, copy, copied, part_of(step, 50, 100), thorough=True)
        if found.version < SCHEMA_VERSION:
            bring_up(DiaryFile(copy, writable=True, version=found.version))
            _must_be_good(file, copy, replace(copied, rows={}), None, thorough=False)
            sync_file(copy)
        yield Prepared(copy, target, copied)
    except OSError as problem:
        raise StoreUnavailable(
            f"Nothing was restored: {problem.filename or target.parent} can't be written "
            f"({problem.strerror or problem}). The diary is as it was; make room there or its "
            "permissions right, then do it again."
        ) from problem
    finally:
        remove_with_company(copy)


def swap_in(ready: Prepared, *, now: datetime) -> Path | None:
    """Give the copy the diary's name; returns where the present diary was set aside, if any.

    It is set aside among the backups, where it is listed and never removed: it has passed no check.
    At every moment something readable has the diary's name. Who has the diary open closes it
    before, and opens it again after.

    Raises
    ------
    StoreUnavailable
        Another program is using the diary; nothing was changed.
    """
    path = ready.path
    folder = default_folder(path)
    private_folder(folder)
    _forget_second_names(path, folder)
    aside = _free_name(folder, path.stem, local(now, ready.copied.zone))
    if not path.exists():
        _put_away(path, aside)
        ready.copy.replace(path)
        sync_folder(path.parent)
        return None
    seen = None if _can_link(ready.copy, folder) else _copied_bytes(path, aside)
    with _nobody_writing(path):
        if seen is None:
            os.link(path, aside)  # one file under both names, until the diary's gets the copy
        elif seen != _stamp(path):
            aside.unlink()
            raise _in_use(path)
        with suppress(OSError):  # it may be another's; it is kept all the same
            aside.chmod(0o600)
        _put_away(path, aside)
        sync_folder(folder)
        ready.copy.replace(path)
        sync_folder(path.parent)
    return aside


def _looked_at(file: Path) -> DiaryFile:
    """What `inspect` finds; its trouble in words that fit a file to be restored."""
    if not file.exists():
        raise StoreUnavailable(
            f"There is no file {file}. Nothing was changed; see the backups with: "
            "thimblebook backups"
        )
    try:
        found = inspect(file)
    except StoreUnavailable as problem:
        cause = problem.__cause__
        if isinstance(cause, sqlite3.DatabaseError) and is_damage(cause):
            raise _damaged(file, "too little of it can be read") from problem
        raise
    if found.damaged:
        raise _damaged(file, "its pages do not hang together, or it has lost its end")
    facts = facts_beside(file)
    if facts is not None and facts.verified_at is not None and not still_as_checked(facts):
        raise StoreUnavailable(
            f"{file} is no longer what was checked on {facts.verified_at:%Y-%m-%d}, so no number "
            "in it can be relied on. Nothing was changed; name another backup. Where you changed "
            "it yourself, move it to another folder and restore it from there."
        )
    return found


def _copied(file: Path, copy: Path, step: Step | None) -> Copied:
    address = uri(file, writable=False)
    try:
        with closing(
            sqlite3.connect(address, uri=True, timeout=5, isolation_level=None)
        ) as connection:
            connection.execute("BEGIN")
            return copy_connection(connection, copy, progress=step)
    except sqlite3.Error as problem:
        raise StoreUnavailable(
            f"{file} could not be copied beside the diary ({problem}), so nothing was restored. "
            "The diary is as it was; make room there or name another backup, then do it again."
        ) from problem


def _must_be_good(
    file: Path, copy: Path, copied: Copied, step: Step | None, *, thorough: bool
) -> None:
    looked = check_copy(copy, rows=copied.rows, thorough=thorough, step=step)
    if looked.wrong:
        raise _damaged(file, "; ".join(looked.wrong))


def _damaged(file: Path, what: str) -> StoreUnavailable:
    return StoreUnavailable(
        f"{file} is damaged and was not restored: {what}. The diary is as it was; name another "
        "backup, they are listed by: thimblebook backups"
    )


def _must_have_room(target: Path, file: Path) -> None:
    present = target.stat().st_size if target.exists() else 0
    needed = ROOM_NEEDED * max(present, file.stat().st_size)
    free = shutil.disk_usage(target.parent).free
    if free < needed:
        raise StoreUnavailable(
            f"Nothing was restored: it needs {needed / 1e6:.1f} MB in {target.parent}, and "
            f"{free / 1e6:.1f} MB are free there. The diary is as it was; free some space, then "
            "do it again."
        )


@contextmanager
def _nobody_writing(path: Path) -> Iterator[None]:
    """Hold the present diary against every other program, where it can still be held at all."""
    with ExitStack() as held:
        try:
            connection = sqlite3.connect(
                uri(path, writable=True), uri=True, timeout=5, isolation_level=None
            )
            held.callback(connection.close)
            connection.execute("PRAGMA journal_mode = DELETE")  # ends a write-ahead file as well
            connection.execute("BEGIN EXCLUSIVE")  # plays back what a killed program left
        except sqlite3.DatabaseError as problem:
            if problem.sqlite_errorname.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
                raise _in_use(path) from problem
            # Damaged, or none of ours: there is nothing in it that a lock could guard.
        yield


def _in_use(path: Path) -> StoreUnavailable:
    return StoreUnavailable(
        f"Another program is using {path}. Nothing was changed; close it, then do it again."
    )


def _can_link(copy: Path, folder: Path) -> bool:
    """Whether this file system gives one file a second name in another folder."""
    probe = folder / copy.name
    try:
        os.link(copy, probe)
    except OSError:
        return False
    probe.unlink()
    return True


def _copied_bytes(path: Path, aside: Path) -> tuple[int, int]:
    """Copy a file as it is, before it is held: closing it again would drop every lock on it."""
    seen = _stamp(path)
    private_file(aside)
    shutil.copyfile(path, aside)
    sync_file(aside)
    return seen


def _stamp(path: Path) -> tuple[int, int]:
    found = path.stat()
    return found.st_size, found.st_mtime_ns


def _put_away(path: Path, aside: Path) -> None:
    """Move journals of the present diary out of the way: played into another file they ruin it."""
    for old, new in zip(companions(path), companions(aside), strict=True):
        if old.exists():
            shutil.move(old, new)  # over to another disk too, where the backups lie on one
    sync_folder(path.parent)


def _forget_second_names(path: Path, folder: Path) -> None:
    """Undo what a restore that was killed half-way left: a second name for the same diary."""
    if path.exists():
        for each in folder.iterdir():
            if _ASIDE in each.name and each.suffix == ENDING and each.samefile(path):
                each.unlink()


def _free_name(folder: Path, stem: str, now: datetime) -> Path:
    base, number = f"{stem}-{now:%Y-%m-%d-%H%M%S}{_ASIDE}", 1
    aside = folder / (base + ENDING)
    while aside.exists():
        number += 1
        aside = folder / f"{base}-{number}{ENDING}"
    return aside
