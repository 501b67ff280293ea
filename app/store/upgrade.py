"""Bring a diary file to the newest schema: one transaction for each step, or no trace of it."""

from __future__ import annotations

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine, event

from app.domain.errors import StoreUnavailable
from app.domain.shipped import shipped
from app.store.file import APPLICATION_ID

_ROWS_BEFORE = "rows before the step"
_OF_ALEMBIC = "alembic_version"


def upgrade(engine: Engine, *, to: int | None = None) -> None:
    """Run the migrations that the file lacks, all of them or those up to a version.

    Raises
    ------
    ValueError
        The engine has foreign keys on: rebuilding a table would empty its children.
    StoreUnavailable
        A step would have lost rows; the file is as that step found it.
    """
    config = Config()
    config.set_main_option("script_location", str(shipped("migrations")).replace("%", "%%"))
    event.listen(engine, "begin", _count_first)  # after the engine's own, which says BEGIN
    try:
        with engine.connect().execution_options(write=True) as connection:
            config.attributes["connection"] = connection
            command.upgrade(config, "head" if to is None else f"{to:04}")
            connection.rollback()
    finally:
        event.remove(engine, "begin", _count_first)


def finish_step(connection: Connection, version: int) -> None:
    """Inside a step's transaction: nothing dangles, no row is gone, and the file says its version.

    Raises
    ------
    StoreUnavailable
        Something would be lost; nothing of the step may be kept.
    """
    dangling = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    if dangling:
        raise StoreUnavailable(
            f"The diary was not brought to version {version}: {len(dangling)} rows would lose what "
            "they belong to. It stays as it was."
        )
    before: dict[str, int] = connection.info.pop(_ROWS_BEFORE)
    now = _rows(connection)
    other = [table for table, count in before.items() if now.get(table) != count]
    if other:
        raise StoreUnavailable(
            f"The diary was not brought to version {version}: the number of rows would change in "
            f"{', '.join(other)}. It stays as it was."
        )
    connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.exec_driver_sql(f"PRAGMA user_version = {version}")


def _count_first(connection: Connection) -> None:
    if connection.exec_driver_sql("PRAGMA foreign_keys").scalar_one():
        raise ValueError("foreign keys are on, which can't be changed inside a transaction")
    connection.info[_ROWS_BEFORE] = _rows(connection)


def _rows(connection: Connection) -> dict[str, int]:
    """How many rows each table has."""
    tables = connection.exec_driver_sql(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite!_%'"
        " ESCAPE '!' ORDER BY name"
    ).scalars()
    return {
        table: connection.exec_driver_sql(f'SELECT count(*) FROM "{table}"').scalar_one()
        for table in tables.all()
        if table != _OF_ALEMBIC
    }
