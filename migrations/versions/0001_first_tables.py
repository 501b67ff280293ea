"""The first tables: people and goals, readings and what gives them meaning, kit, files, journal."""

from pathlib import Path

from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make every table of the first diary, from the statements that stand beside this file."""
    script = Path(__file__).with_suffix(".sql").read_text(encoding="utf-8")
    statements = script.partition("\n\n")[2]  # after the comment at the top
    for statement in statements.split(";\n"):
        if statement.strip():
            op.get_bind().exec_driver_sql(statement)
