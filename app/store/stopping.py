"""A long statement of SQLite that can be ended from outside, between its steps."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager

_STEPS = 20_000  # instructions of SQLite's machine between two questions: some milliseconds


@contextmanager
def stoppable(connection: sqlite3.Connection, ask: Callable[[], None] | None) -> Iterator[None]:
    """Call `ask` now and then while the connection works; what it raises ends the statement.

    SQLite rolls back what the statement had begun, and the exception of `ask` goes on from here.
    """
    if ask is None:
        yield
        return
    raised: list[BaseException] = []

    def heard() -> int:
        try:
            ask()
        except BaseException as met:  # it would be swallowed in SQLite's own call
            raised.append(met)
        return bool(raised)

    connection.set_progress_handler(heard, _STEPS)
    try:
        yield
    except sqlite3.DatabaseError:
        if raised:
            raise raised[0] from None
        raise
    finally:
        connection.set_progress_handler(None, 0)
