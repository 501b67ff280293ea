"""SQLAlchemy's engine on one diary file: its connections, and how they begin."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import QueuePool

from app.store.connection import connection_to, set_patience
from app.store.file import DiaryFile
from app.store.row_hash import install


def engine_on(
    file: DiaryFile,
    *,
    foreign_keys: bool = True,
    is_hurried: Callable[[], bool] = lambda: False,
) -> Engine:
    """An engine whose connections are safe to write through; read-only where the file is.

    Writers begin with BEGIN IMMEDIATE (`write=True` in the execution options), so that a lock is
    waited for at the start of a change and never found in its middle. Who asks on a thread for
    which `is_hurried` holds waits `HURRIED_MS` for another program, everybody else five seconds.
    """

    def connect() -> sqlite3.Connection:
        connection = connection_to(file, hurried=is_hurried(), foreign_keys=foreign_keys)
        install(connection)
        return connection

    def on_checkout(connection: sqlite3.Connection, _record: object, _proxy: object) -> None:
        set_patience(connection, hurried=is_hurried())

    engine = create_engine(
        "sqlite://",
        creator=connect,
        poolclass=QueuePool,
        hide_parameters=True,  # no note and no value in an error message
    )
    event.listen(engine, "begin", _begin)
    event.listen(engine, "checkout", on_checkout)
    return engine


def _begin(connection: Connection) -> None:
    options: dict[str, Any] = dict(connection.get_execution_options())
    connection.exec_driver_sql("BEGIN IMMEDIATE" if options.get("write") else "BEGIN")
