"""Deliberately wrong settings: with each of them a suite must find something broken."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable

from sqlalchemy import Connection

from app.store import connection as plain
from app.store import engine

_SMALL_CACHE = "PRAGMA cache_size = 5"  # pages leave for the file long before the commit


def no_journal() -> None:
    """Nothing to roll back with: journal_mode OFF."""
    _after_pragmas("PRAGMA journal_mode = OFF", _SMALL_CACHE)


def no_sync() -> None:
    """Nothing is waited for: synchronous OFF."""
    _after_pragmas("PRAGMA synchronous = OFF")


def no_sync_of_folder() -> None:
    """The removal of the journal is not waited for: synchronous FULL in place of EXTRA."""
    _after_pragmas("PRAGMA synchronous = FULL")


def no_transaction() -> None:
    """Each statement is a transaction of its own."""

    def begin(connection: Connection) -> None:
        assert not connection.closed

    setattr(engine, "_begin", begin)  # noqa: B010 - wrong on purpose, and not of its type


def impatient() -> None:
    """A lock is not waited for at all, whoever asks."""
    _after_pragmas("PRAGMA busy_timeout = 0")
    plain.patience_ms = lambda *, hurried: 0  # noqa: ARG005 - called by its name


WRONG: dict[str, Callable[[], None]] = {
    "journal off": no_journal,
    "sync off": no_sync,
    "sync FULL": no_sync_of_folder,
    "autocommit": no_transaction,
    "no waiting": impatient,
}


def _after_pragmas(*statements: str) -> None:
    rightly = plain._set_pragmas

    def wrongly(connection: sqlite3.Connection, *, writable: bool, foreign_keys: bool) -> None:
        rightly(connection, writable=writable, foreign_keys=foreign_keys)
        for statement in statements:
            connection.execute(statement)

    plain._set_pragmas = wrongly
