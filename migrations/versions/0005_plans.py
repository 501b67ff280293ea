"""Keep which tests are meant to happen, and what was shown of them."""

from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

STATEMENTS = (
    """CREATE TABLE "plan" (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    name TEXT NOT NULL,
    kind TEXT NOT NULL,
    source TEXT,
    from_day INTEGER NOT NULL,
    to_day INTEGER,
    row_hash BLOB,
    CONSTRAINT pk_plan PRIMARY KEY (id),
    CONSTRAINT ck_plan_begins_before_it_ends CHECK (to_day IS NULL OR from_day <= to_day),
    CONSTRAINT ck_plan_from_day_whole CHECK (from_day IS NULL OR typeof(from_day) = 'integer'),
    CONSTRAINT ck_plan_to_day_whole CHECK (to_day IS NULL OR typeof(to_day) = 'integer'),
    CONSTRAINT ck_plan_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_plan_uid UNIQUE (uid),
    CONSTRAINT fk_plan_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_plan_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_plan_person_id FOREIGN KEY(person_id)
        REFERENCES person (id) ON DELETE RESTRICT
)
""",
    'CREATE INDEX ix_plan_person ON "plan" (person_id, from_day)',
    """CREATE TABLE plan_rule (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    plan_id INTEGER NOT NULL,
    mark TEXT,
    rrule TEXT NOT NULL,
    start_wall TEXT NOT NULL,
    zone TEXT,
    relative_to TEXT,
    offset_min INTEGER,
    before_min INTEGER NOT NULL,
    after_min INTEGER NOT NULL,
    text TEXT,
    row_hash BLOB,
    CONSTRAINT pk_plan_rule PRIMARY KEY (id),
    CONSTRAINT ck_plan_rule_offset_min_whole
        CHECK (offset_min IS NULL OR typeof(offset_min) = 'integer'),
    CONSTRAINT ck_plan_rule_before_min_whole
        CHECK (before_min IS NULL OR typeof(before_min) = 'integer'),
    CONSTRAINT ck_plan_rule_after_min_whole
        CHECK (after_min IS NULL OR typeof(after_min) = 'integer'),
    CONSTRAINT ck_plan_rule_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_plan_rule_uid UNIQUE (uid),
    CONSTRAINT fk_plan_rule_born FOREIGN KEY(born)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_plan_rule_rev FOREIGN KEY(rev)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_plan_rule_plan_id FOREIGN KEY(plan_id)
        REFERENCES "plan" (id) ON DELETE RESTRICT
)
""",
    "CREATE INDEX ix_plan_rule_plan ON plan_rule (plan_id)",
    """CREATE TABLE plan_exception (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    rule_id INTEGER NOT NULL,
    wall TEXT NOT NULL,
    kind TEXT NOT NULL,
    to_wall TEXT,
    row_hash BLOB,
    CONSTRAINT pk_plan_exception PRIMARY KEY (id),
    CONSTRAINT ck_plan_exception_uid_is_16_bytes
        CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_plan_exception_uid UNIQUE (uid),
    CONSTRAINT fk_plan_exception_born FOREIGN KEY(born)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_plan_exception_rev FOREIGN KEY(rev)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_plan_exception_rule_id FOREIGN KEY(rule_id)
        REFERENCES plan_rule (id) ON DELETE RESTRICT
)
""",
    """CREATE UNIQUE INDEX uq_plan_exception_wall ON plan_exception (rule_id, wall)
    WHERE deleted_at IS NULL""",
    """CREATE TABLE follow_rule (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    kind TEXT NOT NULL,
    is_on INTEGER DEFAULT 0 NOT NULL,
    minutes INTEGER,
    limits TEXT,
    row_hash BLOB,
    CONSTRAINT pk_follow_rule PRIMARY KEY (id),
    CONSTRAINT ck_follow_rule_is_on_whole CHECK (is_on IS NULL OR typeof(is_on) = 'integer'),
    CONSTRAINT ck_follow_rule_minutes_whole
        CHECK (minutes IS NULL OR typeof(minutes) = 'integer'),
    CONSTRAINT ck_follow_rule_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_follow_rule_uid UNIQUE (uid),
    CONSTRAINT fk_follow_rule_born FOREIGN KEY(born)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_follow_rule_rev FOREIGN KEY(rev)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_follow_rule_person_id FOREIGN KEY(person_id)
        REFERENCES person (id) ON DELETE RESTRICT
)
""",
    """CREATE UNIQUE INDEX uq_follow_rule_kind ON follow_rule (person_id, kind)
    WHERE deleted_at IS NULL""",
    """CREATE TABLE due_state (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    "key" TEXT NOT NULL,
    shown_at INTEGER,
    snoozed_to INTEGER,
    closed_at INTEGER,
    how TEXT,
    row_hash BLOB,
    CONSTRAINT pk_due_state PRIMARY KEY (id),
    CONSTRAINT ck_due_state_shown_at_whole
        CHECK (shown_at IS NULL OR typeof(shown_at) = 'integer'),
    CONSTRAINT ck_due_state_snoozed_to_whole
        CHECK (snoozed_to IS NULL OR typeof(snoozed_to) = 'integer'),
    CONSTRAINT ck_due_state_closed_at_whole
        CHECK (closed_at IS NULL OR typeof(closed_at) = 'integer'),
    CONSTRAINT ck_due_state_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_due_state_uid UNIQUE (uid),
    CONSTRAINT fk_due_state_born FOREIGN KEY(born)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_due_state_rev FOREIGN KEY(rev)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_due_state_person_id FOREIGN KEY(person_id)
        REFERENCES person (id) ON DELETE RESTRICT
)
""",
    """CREATE UNIQUE INDEX uq_due_state_key ON due_state (person_id, "key")
    WHERE deleted_at IS NULL""",
)


def upgrade() -> None:
    """Make the tables; they begin empty."""
    for statement in STATEMENTS:
        op.get_bind().exec_driver_sql(statement)
