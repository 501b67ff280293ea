"""Plain connections to one diary file, with their pragmas set and read back; no SQLAlchemy."""

from __future__ import annotations

import sqlite3

from app.domain.errors import StoreUnavailable
from app.store.file import DiaryFile, uri

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

# Half a second of a window that stands still is felt as a fault (a rule of this diary).
HURRIED_MS = 250


def connection_to(
    file: DiaryFile, *, hurried: bool = False, foreign_keys: bool = True
) -> sqlite3.Connection:
    """A connection that is safe to write through; read-only where the file is.

    It may be used by any thread, by one at a time.
    """
    connection = sqlite3.connect(
        uri(file.path, writable=file.writable),
        uri=True,
        timeout=patience_ms(hurried=hurried) / 1000,
        isolation_level=None,  # we say BEGIN ourselves; the driver would commit DDL behind us
        check_same_thread=False,
    )
    if file.damaged:
        connection.execute("PRAGMA writable_schema = ON")  # or a file that was cut is refused
    _set_pragmas(connection, writable=file.writable, foreign_keys=foreign_keys)
    return connection


def set_patience(connection: sqlite3.Connection, *, hurried: bool) -> None:
    """How long this connection waits from now on for another program to let go of the file."""
    connection.execute(f"PRAGMA busy_timeout = {patience_ms(hurried=hurried)}")


def patience_ms(*, hurried: bool) -> int:
    """Five seconds; for who paints a window, `HURRIED_MS`."""
    return HURRIED_MS if hurried else int(_PRAGMAS["busy_timeout"][1])


def rows_of(
    connection: sqlite3.Connection, query: str, values: tuple[object, ...] = ()
) -> list[sqlite3.Row]:
    """The rows of a query, whose columns are known by name."""
    cursor = connection.cursor()
    cursor.row_factory = sqlite3.Row
    return cursor.execute(query, values).fetchall()


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
