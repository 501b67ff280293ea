"""Another copy of a diary, got ready to be brought together: copied, checked, never written."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from uuid import UUID

from app.domain.errors import Refused, StoreUnavailable
from app.domain.steps import Step, part_of
from app.store.backup import copy_connection
from app.store.backup_check import check_copy
from app.store.diary import Diary
from app.store.diary_file import bring_up
from app.store.durable import passing_name, remove_with_company, sweep
from app.store.file import SCHEMA_VERSION, DiaryFile, inspect, is_damage, uri
from app.store.opening import identity_in
from app.store.together_counts import Brought, Counts

ROOM_NEEDED = 2.5  # times the other copy: a copy of it, and what bringing it up to date takes
_DOING = "bringing-together"
_SAFE = "Both copies are as they were"


@contextmanager
def other_copy(
    diary: Diary, file: Path, *, now: datetime, step: Step | None = None
) -> Iterator[Path]:
    """A private copy of `file` in the newest schema, whole and of this very diary; gone afterwards.

    `file` itself is only read. `step` is told how far it has come; what it raises ends it.

    Raises
    ------
    Refused
        It is this diary's own file, or the file of another diary.
    DiaryError
        It is missing, not ours, newer or damaged, or there is no room: said in one sentence.
    """
    if file.exists() and file.samefile(diary.path):
        raise Refused(
            f"{file} is this diary itself, so there is nothing to bring together. "
            "It is as it was; name the other copy."
        )
    found = _looked_at(file)
    copy = passing_name(diary.path, _DOING)
    try:
        sweep(diary.path, _DOING, now=now.timestamp())
        _must_have_room(diary.path.parent, file)
        _copy(file, copy, part_of(step, 0, 50))
        if found.version < SCHEMA_VERSION:
            bring_up(DiaryFile(copy, writable=True, version=found.version))
        _must_be_the_same_diary(diary, copy, file)
        yield copy
    except OSError as problem:
        raise StoreUnavailable(
            f"The copies were not brought together: {problem.filename or diary.path.parent} can't "
            f"be written ({problem.strerror or problem}). {_SAFE}; make room there or its "
            "permissions right, then do it again."
        ) from problem
    finally:
        remove_with_company(copy)


def _looked_at(file: Path) -> DiaryFile:
    if not file.exists():
        raise StoreUnavailable(
            f"There is no file {file}. Nothing was changed; name the other copy."
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
    return found


def _copy(file: Path, copy: Path, step: Step | None) -> None:
    address = uri(file, writable=False)
    try:
        with closing(
            sqlite3.connect(address, uri=True, timeout=5, isolation_level=None)
        ) as connection:
            connection.execute("BEGIN")
            copied = copy_connection(connection, copy, progress=part_of(step, 0, 50))
    except sqlite3.Error as problem:
        raise StoreUnavailable(
            f"{file} could not be read whole ({problem}), so nothing was brought together. "
            f"{_SAFE}; close it where it is open, then do it again."
        ) from problem
    looked = check_copy(copy, rows=copied.rows, step=part_of(step, 50, 100))
    if looked.wrong:
        raise _damaged(file, "; ".join(looked.wrong))


def _must_be_the_same_diary(diary: Diary, copy: Path, file: Path) -> None:
    there = Diary(DiaryFile(copy, writable=False, version=SCHEMA_VERSION), UUID(int=0))
    with there, there.reading() as connection:
        other = identity_in(connection, there.installation)
    with diary.reading() as connection:
        here = identity_in(connection, diary.installation)
    if other is None or here is None or other.uid != here.uid:
        raise Refused(
            f"{file} is another diary and no copy of this one, so the two can't be brought "
            f"together. {_SAFE}; export readings there and import them here, person by person."
        )


def _must_have_room(folder: Path, file: Path) -> None:
    needed, free = ROOM_NEEDED * file.stat().st_size, shutil.disk_usage(folder).free
    if free < needed:
        raise StoreUnavailable(
            f"The copies were not brought together: it needs {needed / 1e6:.1f} MB in {folder}, "
            f"and {free / 1e6:.1f} MB are free there. {_SAFE}; free some space, then do it again."
        )


def _damaged(file: Path, what: str) -> StoreUnavailable:
    return StoreUnavailable(
        f"{file} is damaged and was not brought in: {what}. {_SAFE}; restore a checked backup of "
        "it there, or take what can be read of it with salvage."
    )


def nothing_of(copy: Path) -> Brought:
    """What comes of a copy whose every change is known here: all of its readings are the same."""
    with closing(sqlite3.connect(uri(copy, writable=False), uri=True)) as there:
        (same,) = there.execute("SELECT count(*) FROM reading WHERE deleted_at IS NULL").fetchone()
    return Brought(readings=Counts(same=int(same)))


def private_twin(diary: Diary, *, now: datetime) -> Path:
    """A copy of this diary under a passing name, to try things on; the caller removes it."""
    from app.store.backup import copy_into

    sweep(diary.path, _DOING, now=now.timestamp())
    copy = passing_name(diary.path, _DOING)
    try:
        copy_into(diary, copy)
    except BaseException:
        remove_with_company(copy)
        raise
    return copy


def opened(copy: Path, installation: UUID) -> Diary:
    """A diary on such a copy."""
    return Diary(replace(inspect(copy), path=copy), installation)
