"""Bring a diary file to the newest schema: one transaction for each step, or no trace of it."""

from __future__ import annotations

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine

from app.domain.errors import StoreUnavailable
from app.domain.shipped import shipped
from app.store.file import APPLICATION_ID


def upgrade(engine: Engine) -> None:
    """Run the migrations that the file lacks.

    The engine must have foreign keys off: rebuilding a table with them on would empty its children.
    """
    config = Config()
    config.set_main_option("script_location", str(shipped("migrations")).replace("%", "%%"))
    with engine.connect().execution_options(write=True) as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
        connection.rollback()


def finish_step(connection: Connection, version: int) -> None:
    """Inside a step's transaction: nothing dangles, and the file says which version it has."""
    dangling = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    if dangling:
        raise StoreUnavailable(
            f"The diary was not brought to version {version}: {len(dangling)} rows would lose what "
            "they belong to. It stays as it was."
        )
    connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.exec_driver_sql(f"PRAGMA user_version = {version}")
