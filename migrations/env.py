"""Alembic's environment: runs on the connection that the program passes in."""

from alembic import context
from alembic.runtime.migration import MigrationContext, MigrationInfo
from sqlalchemy import Connection

from app.store.schema import metadata
from app.store.upgrade import finish_step


def _finish(*, ctx: MigrationContext, step: MigrationInfo, **_: object) -> None:
    if ctx.connection is not None and step.up_revision_id:
        finish_step(ctx.connection, int(step.up_revision_id))


def run(connection: Connection) -> None:
    """Run every step that is missing, each in a transaction of its own."""
    context.configure(
        connection=connection,
        target_metadata=metadata,
        render_as_batch=True,
        transactional_ddl=True,
        transaction_per_migration=True,
        on_version_apply=_finish,
    )
    with context.begin_transaction():
        context.run_migrations()


run(context.config.attributes["connection"])
