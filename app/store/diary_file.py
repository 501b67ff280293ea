"""A diary opened with what its file needs first, or made anew: whole or not at all."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID, uuid4

from app.domain.errors import Damaged, DiaryError, StoreUnavailable
from app.store.damage import damage_sentence
from app.store.diary import Diary
from app.store.file import SCHEMA_VERSION, DiaryFile, inspect, unreadable
from app.store.trouble import database_errors, in_plain_words


def open_diary(
    path: Path, installation: UUID, *, now: datetime | None = None, state: Path | None = None
) -> Diary:
    """Open the diary at `path`; bring it to the newest schema first where it is older.

    Before that a checked backup is made, dated `now`; where that is not given, with the time of the
    diary's last change. With `state`, the user's state folder, an older copy brought back is
    noticed too; what is worth a word stands in the `notes` of the diary. A damaged diary opens to
    be looked at alone, as far as it can be read.

    Raises
    ------
    DiaryError
        It is missing, not ours, newer, or can't be read: said in one sentence.
    """
    diary = open_inspected(inspect(path), installation, now=now, state=state)
    try:
        diary.look_around()
    except DiaryError:
        diary.close()
        raise
    except UnicodeError as problem:  # the driver's, from a message about a damaged file
        diary.close()
        raise Damaged(damage_sentence(path, shown=False)) from problem
    return diary


def open_inspected(
    file: DiaryFile,
    installation: UUID,
    *,
    now: datetime | None = None,
    state: Path | None = None,
) -> Diary:
    """Open a diary file that was looked at just now; bring it to the newest schema first.

    What is worth a word about its place is left to `Diary.look_around`.
    """
    path = file.path
    if file.version < SCHEMA_VERSION:
        if file.damaged:
            raise Damaged(damage_sentence(path, shown=False))
        if not file.writable:
            raise unreadable(path, sqlite3.OperationalError("readonly"))
        _back_up_first(file, installation, now)
        bring_up(file)
    return Diary(file, installation, state=state)


def create_diary(
    path: Path, installation: UUID, *, now: datetime, state: Path | None = None
) -> Diary:
    """Make a new diary at `path`, whole or not at all, for this user's eyes only.

    Raises
    ------
    StoreUnavailable
        Something lies there already, or the folder can't be written.
    """
    with begun_at(path, installation, now=now):
        pass
    return open_diary(path, installation, state=state)


@contextmanager
def begun_at(path: Path, installation: UUID, *, now: datetime) -> Iterator[Diary]:
    """A new diary under a passing name, to be filled; it lies at `path` when the block ended well.

    Raises
    ------
    StoreUnavailable
        Something lies there already, or the folder can't be written.
    """
    fresh = path.with_name(f".{path.name}.{uuid4().hex}")
    try:
        if not path.parent.exists():
            path.parent.mkdir(mode=0o700, parents=True)
        if path.exists():
            raise StoreUnavailable(f"Something lies at {path} already; it was left untouched.")
        fresh.touch(mode=0o600, exist_ok=False)
        bring_up(DiaryFile(fresh, writable=True, version=0))
        whole = DiaryFile(fresh, writable=True, version=SCHEMA_VERSION)
        _begin_book(whole, now)
        with Diary(whole, installation) as diary:
            yield diary
        put_in_place(fresh, path)
    except OSError as problem:
        raise StoreUnavailable(
            f"The diary could not be made at {path} ({problem.strerror}). Nothing was changed; "
            "name a folder where you may write."
        ) from problem
    finally:
        with suppress(OSError):  # where nothing can be written, nothing is there to be removed
            fresh.unlink(missing_ok=True)


def put_in_place(fresh: Path, path: Path) -> None:
    """Give a finished file its name, where nothing has that name yet."""
    try:
        os.link(fresh, path)  # refuses, unlike a rename, where something came to lie meanwhile
    except FileExistsError:
        raise
    except OSError:  # a file system without links
        fresh.rename(path)


def _back_up_first(file: DiaryFile, installation: UUID, now: datetime | None) -> None:
    from app.store.backup import make_backup  # it knows the diary, and is seldom needed here

    at = now or datetime.fromtimestamp(file.path.stat().st_mtime, UTC)
    try:
        with Diary(file, installation) as old:
            make_backup(old, why="before_migration", now=at)
    except StoreUnavailable as problem:
        raise StoreUnavailable(
            f"{file.path} is of an older form, and before it is brought up to date a checked "
            f"backup has to lie beside it. {problem} Then open it again."
        ) from problem


def bring_up(file: DiaryFile) -> None:
    """Run the migrations that a file lacks, each whole or not at all.

    Raises
    ------
    StoreUnavailable
        A step failed; the file is as that step found it.
    """
    from app.store.engine import engine_on
    from app.store.upgrade import upgrade  # Alembic is slow to import and seldom needed

    engine = engine_on(file, foreign_keys=False)
    try:
        upgrade(engine)
    except database_errors() as problem:
        raise in_plain_words(file.path, problem) from problem
    finally:
        engine.dispose()


def _begin_book(file: DiaryFile, now: datetime) -> None:
    from sqlalchemy import insert

    from app.store import schema
    from app.store.engine import engine_on

    engine = engine_on(file)
    try:
        with engine.connect().execution_options(write=True) as connection, connection.begin():
            connection.execute(
                insert(schema.diary),
                {"id": 1, "uid": uuid4().bytes, "made_at": int(now.timestamp())},
            )
    except database_errors() as problem:
        raise in_plain_words(file.path, problem) from problem
    finally:
        engine.dispose()
