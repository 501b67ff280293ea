"""The diary: one file, opened with care; reads see a whole state, a change is one transaction."""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias
from uuid import UUID, uuid4

from app.domain.errors import DiaryError, StoreUnavailable
from app.domain.person import Person
from app.store.connection import connection_to, set_patience
from app.store.file import SCHEMA_VERSION, DiaryFile, inspect, unreadable

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine

    from app.store.journal import Change

Reader: TypeAlias = "Connection"  # a connection in hand, for those who need not know what it is


class Diary:
    """An open diary file. Who opens it closes it."""

    def __init__(self, file: DiaryFile, installation: UUID) -> None:
        self.path = file.path
        self.writable = file.writable
        self.installation = installation
        self._file = file
        self._hurried: int | None = None
        self._idle: list[sqlite3.Connection] = []
        self._closed = False

    def hurry(self) -> None:
        """Let the thread that says so, which paints a window, never wait long for a lock."""
        self._hurried = threading.get_ident()

    def close(self) -> None:
        """Let go of the file."""
        self._closed = True
        while self._idle:
            self._idle.pop().close()
        if "_engine" in self.__dict__:
            self._engine.dispose()

    def __enter__(self) -> Diary:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @contextmanager
    def driver(self) -> Iterator[sqlite3.Connection]:
        """SQLite's own connection that sees one whole state: what a window that opens asks.

        SQLAlchemy takes longer to import than that window has, and to ask than SQLite to answer.
        """
        try:
            connection = self._idle.pop()
        except IndexError:
            connection = self._connected()
        try:
            set_patience(connection, hurried=self._is_hurried())
            connection.execute("BEGIN")
            yield connection
            connection.execute("ROLLBACK")
        except BaseException as problem:
            connection.close()
            if isinstance(problem, sqlite3.Error):
                raise _plain(self.path, problem) from problem
            raise
        if self._closed:
            connection.close()
        else:
            self._idle.append(connection)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one whole state of the diary."""
        try:
            # Begun at once: rows are also read straight from the driver, which begins nothing.
            with self._engine.connect() as connection, connection.begin():
                yield connection
        except _database_errors() as problem:
            raise _plain(self.path, problem) from problem

    @contextmanager
    def change(
        self,
        kind: str,
        words: Mapping[str, Any],
        *,
        now: datetime,
        person: Person | None = None,
        keeper_id: int | None = None,
        undoes: int | None = None,
    ) -> Iterator[Change]:
        """One change: when the block ends well it is on the disk, else nothing of it is.

        Parameters
        ----------
        kind : str
            A code: what was done.
        words : mapping
            What the sentence about it is filled with.
        now : datetime
            The aware time of the change.

        Raises
        ------
        StoreUnavailable
            The file can't be written: read-only, disk full, locked by another program.
        """
        from app.store.journal import Change

        if not self.writable:
            raise unreadable(self.path, sqlite3.OperationalError("readonly"))
        try:
            with (
                self._engine.connect().execution_options(write=True) as connection,
                connection.begin(),
            ):
                change = Change(
                    connection,
                    installation=self.installation,
                    at=int(now.timestamp()),
                    kind=kind,
                    words=words,
                    person_id=person.id if person else None,
                    keeper_id=keeper_id,
                    undoes=undoes,
                )
                yield change
                change.finish()
        except _database_errors() as problem:
            raise _plain(self.path, problem) from problem

    @cached_property
    def _engine(self) -> Engine:
        from app.store.engine import engine_on

        return engine_on(self._file, is_hurried=self._is_hurried)

    def _connected(self) -> sqlite3.Connection:
        try:
            return connection_to(self._file, hurried=self._is_hurried())
        except sqlite3.Error as problem:
            raise _plain(self.path, problem) from problem

    def _is_hurried(self) -> bool:
        return self._hurried == threading.get_ident()


def open_diary(path: Path, installation: UUID) -> Diary:
    """Open the diary at `path`; bring it to the newest schema first where it is older.

    Raises
    ------
    DiaryError
        It is missing, not ours, newer, damaged, or can't be read: said in one sentence.
    """
    return open_inspected(inspect(path), installation)


def open_inspected(file: DiaryFile, installation: UUID) -> Diary:
    """Open a diary file that was found sound just now; bring it to the newest schema first."""
    path = file.path
    if file.version < SCHEMA_VERSION:
        if not file.writable:
            raise unreadable(path, sqlite3.OperationalError("readonly"))
        _bring_up(file)
    return Diary(file, installation)


def create_diary(path: Path, installation: UUID, *, now: datetime) -> Diary:
    """Make a new diary at `path`, whole or not at all, for this user's eyes only.

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
        _bring_up(DiaryFile(fresh, writable=True, version=0))
        _begin_book(DiaryFile(fresh, writable=True, version=SCHEMA_VERSION), now)
        _put_in_place(fresh, path)
    except OSError as problem:
        raise StoreUnavailable(
            f"The diary could not be made at {path} ({problem.strerror}). Nothing was changed; "
            "name a folder where you may write."
        ) from problem
    finally:
        with suppress(OSError):  # where nothing can be written, nothing is there to be removed
            fresh.unlink(missing_ok=True)
    return open_diary(path, installation)


def _put_in_place(fresh: Path, path: Path) -> None:
    try:
        os.link(fresh, path)  # refuses, unlike a rename, where something came to lie meanwhile
    except FileExistsError:
        raise
    except OSError:  # a file system without links
        fresh.rename(path)


def _bring_up(file: DiaryFile) -> None:
    from app.store.engine import engine_on
    from app.store.upgrade import upgrade  # Alembic is slow to import and seldom needed

    engine = engine_on(file, foreign_keys=False)
    try:
        upgrade(engine)
    except _database_errors() as problem:
        raise _plain(file.path, problem) from problem
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
    except _database_errors() as problem:
        raise _plain(file.path, problem) from problem
    finally:
        engine.dispose()


def _database_errors() -> tuple[type[Exception], ...]:
    from sqlalchemy.exc import DBAPIError

    return DBAPIError, sqlite3.Error


def _plain(path: Path, problem: Exception) -> DiaryError:
    cause = getattr(problem, "orig", problem)  # what SQLAlchemy wraps
    if isinstance(cause, sqlite3.IntegrityError):
        return DiaryError(
            f"The diary refused this ({cause}). Nothing of it was saved; all before is safe."
        )
    return unreadable(path, cause if isinstance(cause, Exception) else problem)
