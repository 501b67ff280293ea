"""The diary: one file, opened with care; reads see a whole state, a change is one transaction."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing, contextmanager
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias
from uuid import UUID

from app.domain.errors import Damaged, DiaryError
from app.domain.person import Person
from app.store.connection import connection_to, set_patience
from app.store.damage import DAMAGED, damage_sentence
from app.store.file import DiaryFile, unreadable
from app.store.held import HeldFile
from app.store.seen import remember
from app.store.trouble import database_errors, in_plain_words

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine

    from app.store.journal import Change
    from app.store.opening import OpeningNote

Reader: TypeAlias = "Connection"  # a connection in hand, for those who need not know what it is


class Diary:
    """An open diary file. Who opens it closes it."""

    def __init__(self, file: DiaryFile, installation: UUID, *, state: Path | None = None) -> None:
        self.path = file.path
        self.writable = file.writable
        self.installation = installation
        self.damaged = file.damaged
        self.notes: tuple[OpeningNote, ...] = ()
        self._state = state
        self._held = HeldFile(file.path)
        self._file = file
        self._hurried: int | None = None
        self.writer: str | None = None  # who makes the changes, where somebody said so
        self._idle: list[sqlite3.Connection] = []
        self._closed = False
        # What was worked out from the file, by name, with the newest change that it rests on.
        self.worked_out: dict[str, tuple[int, Any]] = {}

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
        self.still_there()
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
                raise in_plain_words(self.path, problem) from problem
            raise
        if self._closed:
            connection.close()
        else:
            self._idle.append(connection)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one whole state of the diary."""
        self.still_there()
        try:
            # Begun at once: rows are also read straight from the driver, which begins nothing.
            with (
                self._engine.connect() as connection,
                _never_again(connection),
                connection.begin(),
            ):
                yield connection
        except database_errors() as problem:
            raise in_plain_words(self.path, problem) from problem

    def still_there(self) -> None:
        """Look whether the open file still lies at its path; before each change that is done here.

        Raises
        ------
        StoreUnavailable
            It was moved, deleted, replaced or cut while it was open.
        """
        self._held.must_stand(self._length)

    def still_the_same(self) -> None:
        """Look too whether what the file holds is still this diary, no older copy and no other.

        Raises
        ------
        StoreUnavailable
            It is not, or can't be read just now.
        """
        from app.store.opening import identity_in

        with self.reading() as connection:
            self._held.must_be_same(identity_in(connection, self.installation))

    def look_around(self) -> None:
        """Make the file private and note in `notes` what is worth a word about its place."""
        from app.store.opening import identity_in, look_around

        with self.reading() as connection:
            self._held.must_be_same(identity_in(connection, self.installation))
            self.notes = look_around(
                self.path,
                connection,
                self.installation,
                writable=self.writable or self.damaged,  # damage has a note of its own
                state=self._state,
            )
        if self.damaged:
            self.distrust()

    def distrust(self) -> None:
        """Treat the diary as damaged from now on: it is shown with a note and not written."""
        from app.store.opening import OpeningNote

        self.damaged, self.writable = True, False
        note = OpeningNote(DAMAGED, damage_sentence(self.path, shown=True))
        self.notes = (note, *(each for each in self.notes if each.code != DAMAGED))

    @contextmanager
    def change(
        self,
        kind: str,
        words: Mapping[str, Any],
        *,
        now: datetime,
        person: Person | None = None,
        undoes: int | None = None,
        first: Callable[[Connection], None] | None = None,
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
        first : callable, optional
            What is done in the same transaction before the change has its entry and its number.

        Raises
        ------
        StoreUnavailable
            The file can't be written: read-only, disk full, locked by another program, replaced
            while it was open. Nothing of the change is in it, and the next one begins afresh.
        """
        from app.store.journal import Change
        from app.store.keepers import name_the_writer
        from app.store.opening import identity_in

        if self.damaged:
            raise Damaged(damage_sentence(self.path, shown=True))
        if not self.writable:
            raise unreadable(self.path, sqlite3.OperationalError("readonly"))
        self.still_there()
        try:
            with (
                self._engine.connect().execution_options(write=True) as connection,
                _never_again(connection),
                connection.begin(),
            ):
                self._held.must_be_same(identity_in(connection, self.installation))
                if first is not None:
                    first(connection)
                change = Change(
                    connection,
                    installation=self.installation,
                    at=int(now.timestamp()),
                    kind=kind,
                    words=words,
                    person_id=person.id if person else None,
                    undoes=undoes,
                )
                if self.writer is not None:
                    name_the_writer(change, self.writer, made_anew=undoes is None)
                yield change
                change.finish()
                saved = identity_in(connection, self.installation)
        except database_errors() as problem:
            raise in_plain_words(self.path, problem) from problem
        self._held.moved_on(saved)
        if self._state and saved:
            remember(self._state, saved.uid, counter=saved.counter, number=saved.number)

    def _length(self) -> int:
        """How many bytes the file should have by its own account; -1 where it gives none."""
        try:
            with closing(self._connected()) as connection:
                pages, size = (
                    connection.execute(f"PRAGMA {name}").fetchone()[0]
                    for name in ("page_count", "page_size")
                )
        except (sqlite3.Error, DiaryError):
            return -1
        return int(pages * size)

    @cached_property
    def _engine(self) -> Engine:
        from app.store.engine import engine_on

        return engine_on(self._file, is_hurried=self._is_hurried)

    def _connected(self) -> sqlite3.Connection:
        try:
            return connection_to(self._file, hurried=self._is_hurried())
        except sqlite3.Error as problem:
            raise in_plain_words(self.path, problem) from problem

    def _is_hurried(self) -> bool:
        return self._hurried == threading.get_ident()


@contextmanager
def _never_again(connection: Connection) -> Iterator[None]:
    """Close a connection for good after a failure; SQLite's state in it is not to be relied on."""
    try:
        yield
    except database_errors():
        connection.invalidate()
        raise
