"""Keep what happens to the kit: clocks set, parts, supplies, memories checked, rulings on rows."""

from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

STATEMENTS = (
    """CREATE TABLE clock_setting (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    meter_id INTEGER NOT NULL,
    at INTEGER NOT NULL,
    shown_before TEXT,
    shown_after TEXT,
    cause TEXT,
    row_hash BLOB,
    CONSTRAINT pk_clock_setting PRIMARY KEY (id),
    CONSTRAINT ck_clock_setting_at_whole CHECK (at IS NULL OR typeof(at) = 'integer'),
    CONSTRAINT ck_clock_setting_uid_is_16_bytes
        CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_clock_setting_uid UNIQUE (uid),
    CONSTRAINT fk_clock_setting_born FOREIGN KEY(born)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_clock_setting_rev FOREIGN KEY(rev)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_clock_setting_meter_id FOREIGN KEY(meter_id)
        REFERENCES meter (id) ON DELETE RESTRICT
)
""",
    "CREATE INDEX ix_clock_setting_meter ON clock_setting (meter_id, at)",
    """CREATE TABLE clock_anchor (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    repair_id INTEGER NOT NULL,
    reading_id INTEGER,
    raw_wall TEXT,
    true_wall TEXT NOT NULL,
    zone TEXT NOT NULL,
    true_instant INTEGER NOT NULL,
    why TEXT,
    row_hash BLOB,
    CONSTRAINT pk_clock_anchor PRIMARY KEY (id),
    CONSTRAINT ck_clock_anchor_says_which_record
        CHECK (reading_id IS NOT NULL OR raw_wall IS NOT NULL),
    CONSTRAINT ck_clock_anchor_true_instant_whole
        CHECK (true_instant IS NULL OR typeof(true_instant) = 'integer'),
    CONSTRAINT ck_clock_anchor_uid_is_16_bytes
        CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_clock_anchor_uid UNIQUE (uid),
    CONSTRAINT fk_clock_anchor_born FOREIGN KEY(born)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_clock_anchor_rev FOREIGN KEY(rev)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_clock_anchor_repair_id FOREIGN KEY(repair_id)
        REFERENCES clock_repair (id) ON DELETE RESTRICT,
    CONSTRAINT fk_clock_anchor_reading_id FOREIGN KEY(reading_id)
        REFERENCES reading (id) ON DELETE RESTRICT
)
""",
    "CREATE INDEX ix_clock_anchor_repair ON clock_anchor (repair_id)",
    """CREATE TABLE kit_item (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    kind TEXT NOT NULL,
    name TEXT NOT NULL,
    person_id INTEGER,
    row_hash BLOB,
    CONSTRAINT pk_kit_item PRIMARY KEY (id),
    CONSTRAINT ck_kit_item_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_kit_item_uid UNIQUE (uid),
    CONSTRAINT fk_kit_item_born FOREIGN KEY(born)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_kit_item_rev FOREIGN KEY(rev)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_kit_item_person_id FOREIGN KEY(person_id)
        REFERENCES person (id) ON DELETE RESTRICT
)
""",
    """CREATE TABLE kit_event (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    item_id INTEGER,
    meter_id INTEGER,
    vial_id INTEGER,
    kind TEXT NOT NULL,
    at INTEGER NOT NULL,
    note TEXT,
    row_hash BLOB,
    CONSTRAINT pk_kit_event PRIMARY KEY (id),
    CONSTRAINT ck_kit_event_at_whole CHECK (at IS NULL OR typeof(at) = 'integer'),
    CONSTRAINT ck_kit_event_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_kit_event_uid UNIQUE (uid),
    CONSTRAINT fk_kit_event_born FOREIGN KEY(born)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_kit_event_rev FOREIGN KEY(rev)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_kit_event_item_id FOREIGN KEY(item_id)
        REFERENCES kit_item (id) ON DELETE RESTRICT,
    CONSTRAINT fk_kit_event_meter_id FOREIGN KEY(meter_id)
        REFERENCES meter (id) ON DELETE RESTRICT,
    CONSTRAINT fk_kit_event_vial_id FOREIGN KEY(vial_id) REFERENCES vial (id) ON DELETE RESTRICT
)
""",
    "CREATE INDEX ix_kit_event_at ON kit_event (at)",
    """CREATE TABLE supply (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER,
    kind TEXT NOT NULL,
    vial_id INTEGER,
    at INTEGER NOT NULL,
    count INTEGER NOT NULL,
    why TEXT NOT NULL,
    row_hash BLOB,
    CONSTRAINT pk_supply PRIMARY KEY (id),
    CONSTRAINT ck_supply_at_whole CHECK (at IS NULL OR typeof(at) = 'integer'),
    CONSTRAINT ck_supply_count_whole CHECK (count IS NULL OR typeof(count) = 'integer'),
    CONSTRAINT ck_supply_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_supply_uid UNIQUE (uid),
    CONSTRAINT fk_supply_born FOREIGN KEY(born)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_supply_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_supply_person_id FOREIGN KEY(person_id)
        REFERENCES person (id) ON DELETE RESTRICT,
    CONSTRAINT fk_supply_vial_id FOREIGN KEY(vial_id) REFERENCES vial (id) ON DELETE RESTRICT
)
""",
    """CREATE TABLE memory_check (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    meter_id INTEGER NOT NULL,
    import_id INTEGER,
    at INTEGER NOT NULL,
    total INTEGER NOT NULL,
    mine INTEGER NOT NULL,
    control INTEGER NOT NULL,
    not_mine INTEGER NOT NULL,
    not_copied INTEGER NOT NULL,
    backup TEXT,
    row_hash BLOB,
    CONSTRAINT pk_memory_check PRIMARY KEY (id),
    CONSTRAINT ck_memory_check_accounts_for_all
        CHECK (mine + control + not_mine + not_copied = total),
    CONSTRAINT ck_memory_check_at_whole CHECK (at IS NULL OR typeof(at) = 'integer'),
    CONSTRAINT ck_memory_check_total_whole CHECK (total IS NULL OR typeof(total) = 'integer'),
    CONSTRAINT ck_memory_check_mine_whole CHECK (mine IS NULL OR typeof(mine) = 'integer'),
    CONSTRAINT ck_memory_check_control_whole
        CHECK (control IS NULL OR typeof(control) = 'integer'),
    CONSTRAINT ck_memory_check_not_mine_whole
        CHECK (not_mine IS NULL OR typeof(not_mine) = 'integer'),
    CONSTRAINT ck_memory_check_not_copied_whole
        CHECK (not_copied IS NULL OR typeof(not_copied) = 'integer'),
    CONSTRAINT ck_memory_check_uid_is_16_bytes
        CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_memory_check_uid UNIQUE (uid),
    CONSTRAINT fk_memory_check_born FOREIGN KEY(born)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_memory_check_rev FOREIGN KEY(rev)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_memory_check_meter_id FOREIGN KEY(meter_id)
        REFERENCES meter (id) ON DELETE RESTRICT,
    CONSTRAINT fk_memory_check_import_id FOREIGN KEY(import_id)
        REFERENCES import_batch (id) ON DELETE RESTRICT
)
""",
    """CREATE TABLE ruling (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    kind TEXT NOT NULL,
    tbl TEXT NOT NULL,
    row_uid BLOB NOT NULL,
    other_uid BLOB,
    verdict TEXT NOT NULL,
    note TEXT,
    row_hash BLOB,
    CONSTRAINT pk_ruling PRIMARY KEY (id),
    CONSTRAINT ck_ruling_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_ruling_uid UNIQUE (uid),
    CONSTRAINT fk_ruling_born FOREIGN KEY(born)
        REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_ruling_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT
)
""",
    """CREATE UNIQUE INDEX uq_ruling_row ON ruling (kind, row_uid, other_uid)
    WHERE deleted_at IS NULL""",
)


def upgrade() -> None:
    """Make the tables; they begin empty."""
    for statement in STATEMENTS:
        op.get_bind().exec_driver_sql(statement)
