"""Give every row, the journal's too, a hash over its other columns, so that damage is noticed."""

import sqlite3
from hashlib import blake2b

from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

TABLES = (
    *("person", "person_setting", "usual_time", "keeper", "place", "care_text", "target_set"),
    *("target_limit", "safety_line", "zone_stretch", "reading", "event", "dose", "ketone", "help"),
    *("lab_result", "note", "tag", "tag_on", "span", "change_mark", "visit", "meter", "vial"),
    *("clock_repair", "vial_range", "vial_use", "solution", "control_test", "import_batch"),
    *("import_row", "recipe", "journal_entry", "journal_change"),
)


def upgrade() -> None:
    """Add the column to every table and fill it."""
    run = op.get_bind().exec_driver_sql
    driver = op.get_bind().connection.driver_connection
    if not isinstance(driver, sqlite3.Connection):
        raise TypeError(f"not a connection to SQLite: {type(driver).__name__}")
    # Frozen with this step, however the program may hash one day.
    driver.create_function("hash_0002", -1, _hash, deterministic=True)
    for table in TABLES:
        columns = ", ".join(f'"{row[1]}"' for row in run(f"PRAGMA table_info({table})"))
        run(f"ALTER TABLE {table} ADD COLUMN row_hash BLOB")
        run(f"UPDATE {table} SET row_hash = hash_0002({columns})")


def _hash(*values: float | str | bytes | None) -> bytes:
    return blake2b(ascii(values).encode("ascii"), digest_size=8).digest()
