"""Keep the questions that a person asked of the diary, so that it can say how many there were."""

from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

QUESTION = """CREATE TABLE question (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    spec TEXT NOT NULL,
    asked_at INTEGER NOT NULL,
    row_hash BLOB,
    CONSTRAINT pk_question PRIMARY KEY (id),
    CONSTRAINT ck_question_asked_at_whole
        CHECK (asked_at IS NULL OR typeof(asked_at) = 'integer'),
    CONSTRAINT ck_question_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_question_uid UNIQUE (uid),
    CONSTRAINT fk_question_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_question_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_question_person_id FOREIGN KEY(person_id)
        REFERENCES person (id) ON DELETE RESTRICT
)
"""


def upgrade() -> None:
    """Make the table; it begins empty."""
    op.get_bind().exec_driver_sql(QUESTION)
    op.get_bind().exec_driver_sql(
        "CREATE INDEX ix_question_person ON question (person_id, asked_at)"
    )
