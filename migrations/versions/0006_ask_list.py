"""Keep what a person wants to ask at the next visit."""

from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

STATEMENTS = (
    """CREATE TABLE ask_item (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    visit_id INTEGER,
    text TEXT NOT NULL,
    done_at INTEGER,
    row_hash BLOB,
    CONSTRAINT pk_ask_item PRIMARY KEY (id),
    CONSTRAINT ck_ask_item_done_at_whole CHECK (done_at IS NULL OR typeof(done_at) = 'integer'),
    CONSTRAINT ck_ask_item_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_ask_item_uid UNIQUE (uid),
    CONSTRAINT fk_ask_item_born FOREIGN KEY(born)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_ask_item_rev FOREIGN KEY(rev)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_ask_item_person_id FOREIGN KEY(person_id)
        REFERENCES person (id) ON DELETE RESTRICT,
    CONSTRAINT fk_ask_item_visit_id FOREIGN KEY(visit_id)
        REFERENCES visit (id) ON DELETE RESTRICT
)
""",
    "CREATE INDEX ix_ask_item_person ON ask_item (person_id)",
)


def upgrade() -> None:
    """Make the tables; they begin empty."""
    for statement in STATEMENTS:
        op.get_bind().exec_driver_sql(statement)
