"""The engine on one diary file: every connection with its pragmas set and read back."""

from __future__ import annotations

import sqlite3
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import QueuePool

from app.domain.errors import StoreUnavailable
from app.store.file import DiaryFile, uri
from app.store.row_hash import install

# Journal mode DELETE with synchronous EXTRA: one file at rest, readable on read-only media, and a
# commit that returned outlives a power cut (SQLite's documentation of the synchronous pragma).
_PRAGMAS: dict[str, tuple[str, int | str]] = {
    "foreign_keys": ("ON", 1),
    "synchronous": ("EXTRA", 3),
    "busy_timeout": ("5000", 5000),
    "secure_delete": ("ON", 1),
    "trusted_schema": ("OFF", 0),
    "temp_store": ("MEMORY", 2),
}


def engine_on(file: DiaryFile, *, foreign_keys: bool = True) -> Engine:
    """An engine whose connections are safe to write through; read-only where the file is.

    Writers begin with BEGIN IMMEDIATE (`write=True` in the execution options), so that a lock is
    waited for at the start of a change and never found in its middle.
    """

    def connect() -> sqlite3.Connection:
        connection = sqlite3.connect(
            uri(file.path, writable=file.writable),
            uri=True,
            timeout=5,
            isolation_level=None,  # we say BEGIN ourselves; the driver would commit DDL behind us
            check_same_thread=False,
        )
        if file.damaged:
            connection.execute("PRAGMA writable_schema = ON")  # or a file that was cut is refused
        _set_pragmas(connection, writable=file.writable, foreign_keys=foreign_keys)
        install(connection)
        return connection

    engine = create_engine(
        "sqlite://",
        creator=connect,
        poolclass=QueuePool,
        hide_parameters=True,  # no note and no value in an error message
    )
    event.listen(engine, "begin", _begin)
    return engine


def _begin(connection: Connection) -> None:
    options: dict[str, Any] = dict(connection.get_execution_options())
    connection.exec_driver_sql("BEGIN IMMEDIATE" if options.get("write") else "BEGIN")


def _set_pragmas(connection: sqlite3.Connection, *, writable: bool, foreign_keys: bool) -> None:
    if writable:
        mode = connection.execute("PRAGMA journal_mode = DELETE").fetchone()[0]
        if mode != "delete":
            raise StoreUnavailable(
                f"The diary can't be opened safely here: its journal mode stays {mode}. "
                "Nothing was changed; close other programs that use it."
            )
    connection.execute("PRAGMA mmap_size = 0")
    for name, (value, expected) in _PRAGMAS.items():
        if name == "foreign_keys" and not foreign_keys:
            value, expected = "OFF", 0
        connection.execute(f"PRAGMA {name} = {value}")
        found = connection.execute(f"PRAGMA {name}").fetchone()[0]
        if found != expected:
            raise StoreUnavailable(
                f"The diary can't be opened safely here: SQLite keeps {name} at {found}. "
                "Nothing was changed."
            )
