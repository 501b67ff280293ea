-- The first tables of a diary. Frozen: a later change is a later migration.

CREATE TABLE diary (
    id INTEGER NOT NULL CONSTRAINT ck_diary_one_row CHECK (id = 1),
    uid BLOB NOT NULL,
    made_at INTEGER NOT NULL,
    change_counter INTEGER DEFAULT 0 NOT NULL,
    CONSTRAINT pk_diary PRIMARY KEY (id)
);

CREATE TABLE copy (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    label TEXT NOT NULL,
    last_no INTEGER DEFAULT 0 NOT NULL,
    CONSTRAINT pk_copy PRIMARY KEY (id),
    CONSTRAINT uq_copy_uid UNIQUE (uid)
);

CREATE TABLE journal_entry (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    copy_id INTEGER NOT NULL,
    no INTEGER NOT NULL,
    at INTEGER NOT NULL,
    keeper_id INTEGER,
    person_id INTEGER,
    kind TEXT NOT NULL,
    words TEXT NOT NULL,
    undoes INTEGER,
    seen TEXT DEFAULT '{}' NOT NULL,
    import_id INTEGER,
    erased INTEGER DEFAULT 0 NOT NULL,
    CONSTRAINT pk_journal_entry PRIMARY KEY (id),
    CONSTRAINT uq_journal_entry_copy_id_no UNIQUE (copy_id, no),
    CONSTRAINT uq_journal_entry_uid UNIQUE (uid),
    CONSTRAINT fk_journal_entry_copy_id FOREIGN KEY(copy_id) REFERENCES copy (id) ON DELETE RESTRICT,
    CONSTRAINT fk_journal_entry_undoes FOREIGN KEY(undoes) REFERENCES journal_entry (id) ON DELETE RESTRICT
);

CREATE INDEX ix_journal_entry_at ON journal_entry (at);

CREATE TABLE note (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    tbl TEXT NOT NULL,
    row_uid BLOB NOT NULL,
    text TEXT NOT NULL,
    private_copy INTEGER,
    CONSTRAINT pk_note PRIMARY KEY (id),
    CONSTRAINT ck_note_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_note_uid UNIQUE (uid),
    CONSTRAINT fk_note_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_note_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT
);

CREATE INDEX ix_note_row ON note (row_uid);

CREATE TABLE recipe (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    name TEXT NOT NULL,
    signature TEXT,
    spec TEXT NOT NULL,
    CONSTRAINT pk_recipe PRIMARY KEY (id),
    CONSTRAINT ck_recipe_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_recipe_uid UNIQUE (uid),
    CONSTRAINT fk_recipe_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_recipe_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT
);

CREATE UNIQUE INDEX uq_recipe_name ON recipe (name) WHERE deleted_at IS NULL;

CREATE TABLE journal_change (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    tbl TEXT NOT NULL,
    row_uid BLOB NOT NULL,
    op TEXT NOT NULL,
    old TEXT,
    new TEXT,
    CONSTRAINT pk_journal_change PRIMARY KEY (id),
    CONSTRAINT fk_journal_change_entry_id FOREIGN KEY(entry_id) REFERENCES journal_entry (id) ON DELETE RESTRICT
);

CREATE INDEX ix_journal_change_row ON journal_change (tbl, row_uid);

CREATE INDEX ix_journal_change_entry ON journal_change (entry_id);

CREATE TABLE solution (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    level TEXT NOT NULL,
    lot TEXT,
    printed_expiry TEXT,
    opened_day INTEGER,
    days_open INTEGER DEFAULT 90 NOT NULL,
    CONSTRAINT pk_solution PRIMARY KEY (id),
    CONSTRAINT ck_solution_printed_expiry_is_a_date CHECK (printed_expiry IS NULL OR printed_expiry GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]' OR printed_expiry GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    CONSTRAINT ck_solution_opened_day_whole CHECK (opened_day IS NULL OR typeof(opened_day) = 'integer'),
    CONSTRAINT ck_solution_days_open_whole CHECK (days_open IS NULL OR typeof(days_open) = 'integer'),
    CONSTRAINT ck_solution_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_solution_uid UNIQUE (uid),
    CONSTRAINT fk_solution_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_solution_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT
);

CREATE TABLE person (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    name TEXT NOT NULL,
    unit TEXT NOT NULL,
    zone TEXT NOT NULL,
    clock INTEGER DEFAULT 24 NOT NULL,
    date_order TEXT DEFAULT 'dmy' NOT NULL,
    day_start INTEGER DEFAULT 0 NOT NULL,
    CONSTRAINT pk_person PRIMARY KEY (id),
    CONSTRAINT ck_person_unit_known CHECK (unit IN ('mg/dL', 'mmol/L')),
    CONSTRAINT ck_person_clock_known CHECK (clock IN (12, 24)),
    CONSTRAINT ck_person_day_start_early CHECK (typeof(day_start) = 'integer' AND day_start BETWEEN 0 AND 6),
    CONSTRAINT ck_person_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_person_uid UNIQUE (uid),
    CONSTRAINT fk_person_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_person_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT
);

CREATE UNIQUE INDEX uq_person_name ON person (lower(name)) WHERE deleted_at IS NULL;

CREATE TABLE tag (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    label TEXT NOT NULL,
    rank INTEGER DEFAULT 0 NOT NULL,
    CONSTRAINT pk_tag PRIMARY KEY (id),
    CONSTRAINT ck_tag_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_tag_uid UNIQUE (uid),
    CONSTRAINT fk_tag_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_tag_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_tag_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE UNIQUE INDEX uq_tag_label ON tag (person_id, label) WHERE deleted_at IS NULL;

CREATE TABLE span (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    kind TEXT NOT NULL,
    from_day INTEGER NOT NULL,
    to_day INTEGER,
    from_instant INTEGER,
    to_instant INTEGER,
    text TEXT,
    set_aside INTEGER DEFAULT 0 NOT NULL,
    CONSTRAINT pk_span PRIMARY KEY (id),
    CONSTRAINT ck_span_begins_before_it_ends CHECK (to_day IS NULL OR from_day <= to_day),
    CONSTRAINT ck_span_from_day_whole CHECK (from_day IS NULL OR typeof(from_day) = 'integer'),
    CONSTRAINT ck_span_to_day_whole CHECK (to_day IS NULL OR typeof(to_day) = 'integer'),
    CONSTRAINT ck_span_from_instant_whole CHECK (from_instant IS NULL OR typeof(from_instant) = 'integer'),
    CONSTRAINT ck_span_to_instant_whole CHECK (to_instant IS NULL OR typeof(to_instant) = 'integer'),
    CONSTRAINT ck_span_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_span_uid UNIQUE (uid),
    CONSTRAINT fk_span_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_span_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_span_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE INDEX ix_span_person ON span (person_id, from_day);

CREATE TABLE change_mark (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    day INTEGER NOT NULL,
    what TEXT NOT NULL,
    settling_days INTEGER DEFAULT 3 NOT NULL,
    to_day INTEGER,
    CONSTRAINT pk_change_mark PRIMARY KEY (id),
    CONSTRAINT ck_change_mark_day_whole CHECK (day IS NULL OR typeof(day) = 'integer'),
    CONSTRAINT ck_change_mark_settling_days_whole CHECK (settling_days IS NULL OR typeof(settling_days) = 'integer'),
    CONSTRAINT ck_change_mark_to_day_whole CHECK (to_day IS NULL OR typeof(to_day) = 'integer'),
    CONSTRAINT ck_change_mark_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_change_mark_uid UNIQUE (uid),
    CONSTRAINT fk_change_mark_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_change_mark_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_change_mark_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE INDEX ix_change_mark_person ON change_mark (person_id, day);

CREATE TABLE visit (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    day INTEGER NOT NULL,
    outcome TEXT,
    CONSTRAINT pk_visit PRIMARY KEY (id),
    CONSTRAINT ck_visit_day_whole CHECK (day IS NULL OR typeof(day) = 'integer'),
    CONSTRAINT ck_visit_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_visit_uid UNIQUE (uid),
    CONSTRAINT fk_visit_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_visit_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_visit_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE INDEX ix_visit_person ON visit (person_id, day);

CREATE TABLE import_batch (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER,
    name TEXT NOT NULL,
    sha BLOB NOT NULL,
    bytes INTEGER NOT NULL,
    seen INTEGER NOT NULL,
    new INTEGER NOT NULL,
    already INTEGER NOT NULL,
    refused INTEGER NOT NULL,
    held INTEGER NOT NULL,
    recipe_id INTEGER,
    meter_id INTEGER,
    newest_raw TEXT,
    at INTEGER NOT NULL,
    zone TEXT NOT NULL,
    CONSTRAINT pk_import_batch PRIMARY KEY (id),
    CONSTRAINT ck_import_batch_account_adds_up CHECK (new + already + refused + held = seen),
    CONSTRAINT ck_import_batch_seen_whole CHECK (seen IS NULL OR typeof(seen) = 'integer'),
    CONSTRAINT ck_import_batch_new_whole CHECK (new IS NULL OR typeof(new) = 'integer'),
    CONSTRAINT ck_import_batch_already_whole CHECK (already IS NULL OR typeof(already) = 'integer'),
    CONSTRAINT ck_import_batch_refused_whole CHECK (refused IS NULL OR typeof(refused) = 'integer'),
    CONSTRAINT ck_import_batch_held_whole CHECK (held IS NULL OR typeof(held) = 'integer'),
    CONSTRAINT ck_import_batch_bytes_whole CHECK (bytes IS NULL OR typeof(bytes) = 'integer'),
    CONSTRAINT ck_import_batch_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_import_batch_uid UNIQUE (uid),
    CONSTRAINT fk_import_batch_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_import_batch_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_import_batch_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT,
    CONSTRAINT fk_import_batch_recipe_id FOREIGN KEY(recipe_id) REFERENCES recipe (id) ON DELETE RESTRICT
);

CREATE TABLE meter (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER,
    name TEXT NOT NULL,
    serial TEXT,
    unit TEXT NOT NULL,
    low_mg FLOAT,
    low_mmol FLOAT,
    high_mg FLOAT,
    high_mmol FLOAT,
    capacity INTEGER,
    keep_memory INTEGER DEFAULT 0 NOT NULL,
    zone TEXT NOT NULL,
    first_day INTEGER,
    last_day INTEGER,
    CONSTRAINT pk_meter PRIMARY KEY (id),
    CONSTRAINT ck_meter_low_is_a_pair CHECK ((low_mg IS NULL) = (low_mmol IS NULL) AND (low_mg IS NULL OR (low_mg > 0 AND typeof(low_mg) IN ('real', 'integer') AND low_mmol > 0 AND typeof(low_mmol) IN ('real', 'integer')))),
    CONSTRAINT ck_meter_high_is_a_pair CHECK ((high_mg IS NULL) = (high_mmol IS NULL) AND (high_mg IS NULL OR (high_mg > 0 AND typeof(high_mg) IN ('real', 'integer') AND high_mmol > 0 AND typeof(high_mmol) IN ('real', 'integer')))),
    CONSTRAINT ck_meter_capacity_whole CHECK (capacity IS NULL OR typeof(capacity) = 'integer'),
    CONSTRAINT ck_meter_first_day_whole CHECK (first_day IS NULL OR typeof(first_day) = 'integer'),
    CONSTRAINT ck_meter_last_day_whole CHECK (last_day IS NULL OR typeof(last_day) = 'integer'),
    CONSTRAINT ck_meter_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_meter_uid UNIQUE (uid),
    CONSTRAINT fk_meter_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_meter_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_meter_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE TABLE vial (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    kind TEXT DEFAULT 'glucose' NOT NULL,
    person_id INTEGER,
    lot TEXT,
    strips INTEGER,
    printed_expiry TEXT,
    opened_day INTEGER,
    days_open INTEGER,
    finished_day INTEGER,
    CONSTRAINT pk_vial PRIMARY KEY (id),
    CONSTRAINT ck_vial_printed_expiry_is_a_date CHECK (printed_expiry IS NULL OR printed_expiry GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]' OR printed_expiry GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    CONSTRAINT ck_vial_strips_whole CHECK (strips IS NULL OR typeof(strips) = 'integer'),
    CONSTRAINT ck_vial_opened_day_whole CHECK (opened_day IS NULL OR typeof(opened_day) = 'integer'),
    CONSTRAINT ck_vial_days_open_whole CHECK (days_open IS NULL OR typeof(days_open) = 'integer'),
    CONSTRAINT ck_vial_finished_day_whole CHECK (finished_day IS NULL OR typeof(finished_day) = 'integer'),
    CONSTRAINT ck_vial_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_vial_uid UNIQUE (uid),
    CONSTRAINT fk_vial_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_vial_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_vial_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE TABLE person_setting (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    "key" TEXT NOT NULL,
    from_day INTEGER,
    value TEXT NOT NULL,
    CONSTRAINT pk_person_setting PRIMARY KEY (id),
    CONSTRAINT ck_person_setting_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_person_setting_uid UNIQUE (uid),
    CONSTRAINT fk_person_setting_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_person_setting_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_person_setting_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE UNIQUE INDEX uq_person_setting_key ON person_setting (person_id, "key", coalesce(from_day, 0)) WHERE deleted_at IS NULL;

CREATE TABLE usual_time (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    mark TEXT NOT NULL,
    weekdays INTEGER DEFAULT 127 NOT NULL,
    minute INTEGER NOT NULL,
    from_day INTEGER,
    CONSTRAINT pk_usual_time PRIMARY KEY (id),
    CONSTRAINT ck_usual_time_minute_whole CHECK (minute IS NULL OR typeof(minute) = 'integer'),
    CONSTRAINT ck_usual_time_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_usual_time_uid UNIQUE (uid),
    CONSTRAINT fk_usual_time_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_usual_time_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_usual_time_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE INDEX ix_usual_time_person ON usual_time (person_id);

CREATE TABLE keeper (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    name TEXT NOT NULL,
    person_id INTEGER,
    CONSTRAINT pk_keeper PRIMARY KEY (id),
    CONSTRAINT ck_keeper_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_keeper_uid UNIQUE (uid),
    CONSTRAINT fk_keeper_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_keeper_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_keeper_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE TABLE place (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    name TEXT NOT NULL,
    person_id INTEGER,
    CONSTRAINT pk_place PRIMARY KEY (id),
    CONSTRAINT ck_place_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_place_uid UNIQUE (uid),
    CONSTRAINT fk_place_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_place_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_place_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE TABLE care_text (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    kind TEXT NOT NULL,
    text TEXT NOT NULL,
    from_day INTEGER,
    CONSTRAINT pk_care_text PRIMARY KEY (id),
    CONSTRAINT ck_care_text_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_care_text_uid UNIQUE (uid),
    CONSTRAINT fk_care_text_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_care_text_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_care_text_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE INDEX ix_care_text_person ON care_text (person_id);

CREATE TABLE target_set (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    from_day INTEGER NOT NULL,
    name TEXT NOT NULL,
    source TEXT NOT NULL,
    preset TEXT,
    CONSTRAINT pk_target_set PRIMARY KEY (id),
    CONSTRAINT ck_target_set_from_day_whole CHECK (from_day IS NULL OR typeof(from_day) = 'integer'),
    CONSTRAINT ck_target_set_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_target_set_uid UNIQUE (uid),
    CONSTRAINT fk_target_set_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_target_set_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_target_set_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE INDEX ix_target_set_person ON target_set (person_id, from_day);

CREATE TABLE safety_line (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    from_day INTEGER NOT NULL,
    very_low_mg FLOAT,
    very_low_mmol FLOAT,
    low_mg FLOAT,
    low_mmol FLOAT,
    very_high_mg FLOAT,
    very_high_mmol FLOAT,
    why TEXT,
    CONSTRAINT pk_safety_line PRIMARY KEY (id),
    CONSTRAINT ck_safety_line_very_low_is_a_pair CHECK ((very_low_mg IS NULL) = (very_low_mmol IS NULL) AND (very_low_mg IS NULL OR (very_low_mg > 0 AND typeof(very_low_mg) IN ('real', 'integer') AND very_low_mmol > 0 AND typeof(very_low_mmol) IN ('real', 'integer')))),
    CONSTRAINT ck_safety_line_low_is_a_pair CHECK ((low_mg IS NULL) = (low_mmol IS NULL) AND (low_mg IS NULL OR (low_mg > 0 AND typeof(low_mg) IN ('real', 'integer') AND low_mmol > 0 AND typeof(low_mmol) IN ('real', 'integer')))),
    CONSTRAINT ck_safety_line_very_high_is_a_pair CHECK ((very_high_mg IS NULL) = (very_high_mmol IS NULL) AND (very_high_mg IS NULL OR (very_high_mg > 0 AND typeof(very_high_mg) IN ('real', 'integer') AND very_high_mmol > 0 AND typeof(very_high_mmol) IN ('real', 'integer')))),
    CONSTRAINT ck_safety_line_from_day_whole CHECK (from_day IS NULL OR typeof(from_day) = 'integer'),
    CONSTRAINT ck_safety_line_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_safety_line_uid UNIQUE (uid),
    CONSTRAINT fk_safety_line_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_safety_line_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_safety_line_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE INDEX ix_safety_line_person ON safety_line (person_id, from_day);

CREATE TABLE zone_stretch (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    from_instant INTEGER NOT NULL,
    to_instant INTEGER,
    zone TEXT NOT NULL,
    meters_kept TEXT,
    CONSTRAINT pk_zone_stretch PRIMARY KEY (id),
    CONSTRAINT ck_zone_stretch_from_instant_whole CHECK (from_instant IS NULL OR typeof(from_instant) = 'integer'),
    CONSTRAINT ck_zone_stretch_to_instant_whole CHECK (to_instant IS NULL OR typeof(to_instant) = 'integer'),
    CONSTRAINT ck_zone_stretch_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_zone_stretch_uid UNIQUE (uid),
    CONSTRAINT fk_zone_stretch_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_zone_stretch_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_zone_stretch_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);

CREATE INDEX ix_zone_stretch_person ON zone_stretch (person_id, from_instant);

CREATE TABLE event (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    kind TEXT NOT NULL,
    level TEXT,
    instant INTEGER,
    wall TEXT,
    zone TEXT,
    offset_min INTEGER,
    day INTEGER,
    minute INTEGER,
    end_instant INTEGER,
    carb_g FLOAT,
    text TEXT,
    raw_wall TEXT,
    raw_value TEXT,
    raw_unit TEXT,
    raw_code TEXT,
    raw_bytes BLOB,
    origin TEXT NOT NULL,
    import_id INTEGER,
    line INTEGER,
    source_key BLOB,
    keeper_id INTEGER,
    place_id INTEGER,
    entered_at INTEGER NOT NULL,
    CONSTRAINT pk_event PRIMARY KEY (id),
    CONSTRAINT ck_event_moment_whole CHECK ((instant IS NULL AND wall IS NULL AND zone IS NULL AND offset_min IS NULL AND day IS NULL AND minute IS NULL) OR (typeof(instant) = 'integer' AND instant BETWEEN 0 AND 7258118400 AND wall IS NOT NULL AND zone IS NOT NULL AND typeof(offset_min) = 'integer' AND typeof(day) = 'integer' AND typeof(minute) = 'integer' AND minute BETWEEN 0 AND 1439)),
    CONSTRAINT ck_event_carb_not_negative CHECK (carb_g IS NULL OR (carb_g >= 0 AND typeof(carb_g) IN ('real', 'integer'))),
    CONSTRAINT ck_event_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_event_uid UNIQUE (uid),
    CONSTRAINT fk_event_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_event_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_event_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT,
    CONSTRAINT fk_event_import_id FOREIGN KEY(import_id) REFERENCES import_batch (id) ON DELETE RESTRICT,
    CONSTRAINT fk_event_keeper_id FOREIGN KEY(keeper_id) REFERENCES keeper (id) ON DELETE RESTRICT,
    CONSTRAINT fk_event_place_id FOREIGN KEY(place_id) REFERENCES place (id) ON DELETE RESTRICT
);

CREATE INDEX ix_event_person ON event (person_id, instant) WHERE deleted_at IS NULL;

CREATE INDEX ix_event_import ON event (import_id) WHERE import_id IS NOT NULL;

CREATE UNIQUE INDEX uq_event_source ON event (person_id, source_key) WHERE source_key IS NOT NULL;

CREATE TABLE dose (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    what TEXT NOT NULL,
    kind TEXT,
    amount TEXT NOT NULL,
    amount_num FLOAT NOT NULL,
    unit TEXT NOT NULL,
    instant INTEGER,
    wall TEXT,
    zone TEXT,
    offset_min INTEGER,
    day INTEGER,
    minute INTEGER,
    raw_wall TEXT,
    raw_value TEXT,
    raw_unit TEXT,
    raw_code TEXT,
    raw_bytes BLOB,
    origin TEXT NOT NULL,
    import_id INTEGER,
    line INTEGER,
    source_key BLOB,
    keeper_id INTEGER,
    place_id INTEGER,
    entered_at INTEGER NOT NULL,
    CONSTRAINT pk_dose PRIMARY KEY (id),
    CONSTRAINT ck_dose_moment_whole CHECK ((instant IS NULL AND wall IS NULL AND zone IS NULL AND offset_min IS NULL AND day IS NULL AND minute IS NULL) OR (typeof(instant) = 'integer' AND instant BETWEEN 0 AND 7258118400 AND wall IS NOT NULL AND zone IS NOT NULL AND typeof(offset_min) = 'integer' AND typeof(day) = 'integer' AND typeof(minute) = 'integer' AND minute BETWEEN 0 AND 1439)),
    CONSTRAINT ck_dose_amount_not_negative CHECK (typeof(amount_num) IN ('real', 'integer') AND amount_num >= 0),
    CONSTRAINT ck_dose_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_dose_uid UNIQUE (uid),
    CONSTRAINT fk_dose_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_dose_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_dose_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT,
    CONSTRAINT fk_dose_import_id FOREIGN KEY(import_id) REFERENCES import_batch (id) ON DELETE RESTRICT,
    CONSTRAINT fk_dose_keeper_id FOREIGN KEY(keeper_id) REFERENCES keeper (id) ON DELETE RESTRICT,
    CONSTRAINT fk_dose_place_id FOREIGN KEY(place_id) REFERENCES place (id) ON DELETE RESTRICT
);

CREATE UNIQUE INDEX uq_dose_source ON dose (person_id, source_key) WHERE source_key IS NOT NULL;

CREATE INDEX ix_dose_person ON dose (person_id, instant) WHERE deleted_at IS NULL;

CREATE INDEX ix_dose_import ON dose (import_id) WHERE import_id IS NOT NULL;

CREATE TABLE ketone (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    method TEXT NOT NULL,
    bound TEXT DEFAULT 'exact' NOT NULL,
    value TEXT,
    unit TEXT,
    level TEXT,
    instant INTEGER,
    wall TEXT,
    zone TEXT,
    offset_min INTEGER,
    day INTEGER,
    minute INTEGER,
    raw_wall TEXT,
    raw_value TEXT,
    raw_unit TEXT,
    raw_code TEXT,
    raw_bytes BLOB,
    origin TEXT NOT NULL,
    import_id INTEGER,
    line INTEGER,
    source_key BLOB,
    keeper_id INTEGER,
    place_id INTEGER,
    entered_at INTEGER NOT NULL,
    meter_id INTEGER,
    vial_id INTEGER,
    CONSTRAINT pk_ketone PRIMARY KEY (id),
    CONSTRAINT ck_ketone_moment_whole CHECK ((instant IS NULL AND wall IS NULL AND zone IS NULL AND offset_min IS NULL AND day IS NULL AND minute IS NULL) OR (typeof(instant) = 'integer' AND instant BETWEEN 0 AND 7258118400 AND wall IS NOT NULL AND zone IS NOT NULL AND typeof(offset_min) = 'integer' AND typeof(day) = 'integer' AND typeof(minute) = 'integer' AND minute BETWEEN 0 AND 1439)),
    CONSTRAINT ck_ketone_result_fits_method CHECK ((method = 'blood' AND (value IS NOT NULL OR bound != 'exact')) OR (method = 'urine' AND level IS NOT NULL)),
    CONSTRAINT ck_ketone_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_ketone_uid UNIQUE (uid),
    CONSTRAINT fk_ketone_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_ketone_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_ketone_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT,
    CONSTRAINT fk_ketone_import_id FOREIGN KEY(import_id) REFERENCES import_batch (id) ON DELETE RESTRICT,
    CONSTRAINT fk_ketone_keeper_id FOREIGN KEY(keeper_id) REFERENCES keeper (id) ON DELETE RESTRICT,
    CONSTRAINT fk_ketone_place_id FOREIGN KEY(place_id) REFERENCES place (id) ON DELETE RESTRICT,
    CONSTRAINT fk_ketone_meter_id FOREIGN KEY(meter_id) REFERENCES meter (id) ON DELETE RESTRICT,
    CONSTRAINT fk_ketone_vial_id FOREIGN KEY(vial_id) REFERENCES vial (id) ON DELETE RESTRICT
);

CREATE UNIQUE INDEX uq_ketone_source ON ketone (person_id, source_key) WHERE source_key IS NOT NULL;

CREATE INDEX ix_ketone_import ON ketone (import_id) WHERE import_id IS NOT NULL;

CREATE INDEX ix_ketone_person ON ketone (person_id, instant) WHERE deleted_at IS NULL;

CREATE TABLE tag_on (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    tag_id INTEGER NOT NULL,
    tbl TEXT NOT NULL,
    row_uid BLOB NOT NULL,
    CONSTRAINT pk_tag_on PRIMARY KEY (id),
    CONSTRAINT ck_tag_on_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_tag_on_uid UNIQUE (uid),
    CONSTRAINT fk_tag_on_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_tag_on_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_tag_on_tag_id FOREIGN KEY(tag_id) REFERENCES tag (id) ON DELETE RESTRICT
);

CREATE UNIQUE INDEX uq_tag_on_row ON tag_on (tag_id, row_uid) WHERE deleted_at IS NULL;

CREATE INDEX ix_tag_on_row ON tag_on (row_uid);

CREATE TABLE import_row (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    import_id INTEGER NOT NULL,
    line INTEGER NOT NULL,
    text TEXT NOT NULL,
    verdict TEXT NOT NULL,
    reason TEXT,
    tbl TEXT,
    row_uid BLOB,
    CONSTRAINT pk_import_row PRIMARY KEY (id),
    CONSTRAINT ck_import_row_line_whole CHECK (line IS NULL OR typeof(line) = 'integer'),
    CONSTRAINT ck_import_row_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_import_row_uid UNIQUE (uid),
    CONSTRAINT fk_import_row_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_import_row_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_import_row_import_id FOREIGN KEY(import_id) REFERENCES import_batch (id) ON DELETE RESTRICT
);

CREATE INDEX ix_import_row_import ON import_row (import_id);

CREATE TABLE clock_repair (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    meter_id INTEGER NOT NULL,
    from_order INTEGER NOT NULL,
    to_order INTEGER,
    import_id INTEGER,
    shift_s INTEGER NOT NULL,
    drift_ppm INTEGER DEFAULT 0 NOT NULL,
    state TEXT NOT NULL,
    CONSTRAINT pk_clock_repair PRIMARY KEY (id),
    CONSTRAINT ck_clock_repair_begins_before_it_ends CHECK (to_order IS NULL OR from_order <= to_order),
    CONSTRAINT ck_clock_repair_from_order_whole CHECK (from_order IS NULL OR typeof(from_order) = 'integer'),
    CONSTRAINT ck_clock_repair_to_order_whole CHECK (to_order IS NULL OR typeof(to_order) = 'integer'),
    CONSTRAINT ck_clock_repair_shift_s_whole CHECK (shift_s IS NULL OR typeof(shift_s) = 'integer'),
    CONSTRAINT ck_clock_repair_drift_ppm_whole CHECK (drift_ppm IS NULL OR typeof(drift_ppm) = 'integer'),
    CONSTRAINT ck_clock_repair_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_clock_repair_uid UNIQUE (uid),
    CONSTRAINT fk_clock_repair_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_clock_repair_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_clock_repair_meter_id FOREIGN KEY(meter_id) REFERENCES meter (id) ON DELETE RESTRICT,
    CONSTRAINT fk_clock_repair_import_id FOREIGN KEY(import_id) REFERENCES import_batch (id) ON DELETE RESTRICT
);

CREATE TABLE vial_range (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    vial_id INTEGER NOT NULL,
    level TEXT NOT NULL,
    low TEXT NOT NULL,
    high TEXT NOT NULL,
    unit TEXT NOT NULL,
    CONSTRAINT pk_vial_range PRIMARY KEY (id),
    CONSTRAINT ck_vial_range_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_vial_range_uid UNIQUE (uid),
    CONSTRAINT fk_vial_range_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_vial_range_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_vial_range_vial_id FOREIGN KEY(vial_id) REFERENCES vial (id) ON DELETE RESTRICT
);

CREATE UNIQUE INDEX uq_vial_range_level ON vial_range (vial_id, level) WHERE deleted_at IS NULL;

CREATE TABLE vial_use (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    vial_id INTEGER NOT NULL,
    meter_id INTEGER NOT NULL,
    from_instant INTEGER NOT NULL,
    to_instant INTEGER,
    CONSTRAINT pk_vial_use PRIMARY KEY (id),
    CONSTRAINT ck_vial_use_from_instant_whole CHECK (from_instant IS NULL OR typeof(from_instant) = 'integer'),
    CONSTRAINT ck_vial_use_to_instant_whole CHECK (to_instant IS NULL OR typeof(to_instant) = 'integer'),
    CONSTRAINT ck_vial_use_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_vial_use_uid UNIQUE (uid),
    CONSTRAINT fk_vial_use_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_vial_use_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_vial_use_vial_id FOREIGN KEY(vial_id) REFERENCES vial (id) ON DELETE RESTRICT,
    CONSTRAINT fk_vial_use_meter_id FOREIGN KEY(meter_id) REFERENCES meter (id) ON DELETE RESTRICT
);

CREATE INDEX ix_vial_use_meter ON vial_use (meter_id, from_instant);

CREATE TABLE control_test (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER,
    meter_id INTEGER NOT NULL,
    vial_id INTEGER,
    solution_id INTEGER,
    level TEXT NOT NULL,
    bound TEXT DEFAULT 'exact' NOT NULL,
    value TEXT,
    unit TEXT NOT NULL,
    instant INTEGER,
    wall TEXT,
    zone TEXT,
    offset_min INTEGER,
    day INTEGER,
    minute INTEGER,
    raw_wall TEXT,
    raw_value TEXT,
    raw_unit TEXT,
    raw_code TEXT,
    raw_bytes BLOB,
    origin TEXT NOT NULL,
    import_id INTEGER,
    line INTEGER,
    source_key BLOB,
    keeper_id INTEGER,
    place_id INTEGER,
    entered_at INTEGER NOT NULL,
    temperature TEXT,
    CONSTRAINT pk_control_test PRIMARY KEY (id),
    CONSTRAINT ck_control_test_moment_whole CHECK ((instant IS NULL AND wall IS NULL AND zone IS NULL AND offset_min IS NULL AND day IS NULL AND minute IS NULL) OR (typeof(instant) = 'integer' AND instant BETWEEN 0 AND 7258118400 AND wall IS NOT NULL AND zone IS NOT NULL AND typeof(offset_min) = 'integer' AND typeof(day) = 'integer' AND typeof(minute) = 'integer' AND minute BETWEEN 0 AND 1439)),
    CONSTRAINT ck_control_test_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_control_test_uid UNIQUE (uid),
    CONSTRAINT fk_control_test_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_control_test_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_control_test_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT,
    CONSTRAINT fk_control_test_meter_id FOREIGN KEY(meter_id) REFERENCES meter (id) ON DELETE RESTRICT,
    CONSTRAINT fk_control_test_vial_id FOREIGN KEY(vial_id) REFERENCES vial (id) ON DELETE RESTRICT,
    CONSTRAINT fk_control_test_solution_id FOREIGN KEY(solution_id) REFERENCES solution (id) ON DELETE RESTRICT,
    CONSTRAINT fk_control_test_import_id FOREIGN KEY(import_id) REFERENCES import_batch (id) ON DELETE RESTRICT,
    CONSTRAINT fk_control_test_keeper_id FOREIGN KEY(keeper_id) REFERENCES keeper (id) ON DELETE RESTRICT,
    CONSTRAINT fk_control_test_place_id FOREIGN KEY(place_id) REFERENCES place (id) ON DELETE RESTRICT
);

CREATE INDEX ix_control_test_import ON control_test (import_id) WHERE import_id IS NOT NULL;

CREATE INDEX ix_control_test_meter ON control_test (meter_id, instant);

CREATE UNIQUE INDEX uq_control_test_source ON control_test (person_id, source_key) WHERE source_key IS NOT NULL;

CREATE TABLE target_limit (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    set_id INTEGER NOT NULL,
    mark TEXT NOT NULL,
    after_from INTEGER,
    after_to INTEGER,
    low_mg FLOAT,
    low_mmol FLOAT,
    high_mg FLOAT,
    high_mmol FLOAT,
    high_open INTEGER DEFAULT 0 NOT NULL,
    CONSTRAINT pk_target_limit PRIMARY KEY (id),
    CONSTRAINT ck_target_limit_low_is_a_pair CHECK ((low_mg IS NULL) = (low_mmol IS NULL) AND (low_mg IS NULL OR (low_mg > 0 AND typeof(low_mg) IN ('real', 'integer') AND low_mmol > 0 AND typeof(low_mmol) IN ('real', 'integer')))),
    CONSTRAINT ck_target_limit_high_is_a_pair CHECK ((high_mg IS NULL) = (high_mmol IS NULL) AND (high_mg IS NULL OR (high_mg > 0 AND typeof(high_mg) IN ('real', 'integer') AND high_mmol > 0 AND typeof(high_mmol) IN ('real', 'integer')))),
    CONSTRAINT ck_target_limit_low_under_high CHECK (low_mg IS NULL OR high_mg IS NULL OR (low_mg < high_mg AND low_mmol < high_mmol)),
    CONSTRAINT ck_target_limit_after_from_whole CHECK (after_from IS NULL OR typeof(after_from) = 'integer'),
    CONSTRAINT ck_target_limit_after_to_whole CHECK (after_to IS NULL OR typeof(after_to) = 'integer'),
    CONSTRAINT ck_target_limit_high_open_whole CHECK (high_open IS NULL OR typeof(high_open) = 'integer'),
    CONSTRAINT ck_target_limit_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_target_limit_uid UNIQUE (uid),
    CONSTRAINT fk_target_limit_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_target_limit_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_target_limit_set_id FOREIGN KEY(set_id) REFERENCES target_set (id) ON DELETE RESTRICT
);

CREATE INDEX ix_target_limit_set ON target_limit (set_id);

CREATE TABLE reading (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    bound TEXT DEFAULT 'exact' NOT NULL,
    value TEXT,
    unit TEXT NOT NULL,
    mg_dl FLOAT,
    instant INTEGER,
    wall TEXT,
    zone TEXT,
    offset_min INTEGER,
    day INTEGER,
    minute INTEGER,
    raw_wall TEXT,
    raw_value TEXT,
    raw_unit TEXT,
    raw_code TEXT,
    raw_bytes BLOB,
    origin TEXT NOT NULL,
    import_id INTEGER,
    line INTEGER,
    source_key BLOB,
    keeper_id INTEGER,
    place_id INTEGER,
    entered_at INTEGER NOT NULL,
    time_from TEXT NOT NULL,
    time_state TEXT DEFAULT 'sure' NOT NULL,
    time_precision TEXT DEFAULT 'minute' NOT NULL,
    memory_order INTEGER,
    seq INTEGER,
    status_bits INTEGER DEFAULT 0 NOT NULL,
    clock_repair_id INTEGER,
    mark TEXT DEFAULT 'none' NOT NULL,
    mark_from TEXT,
    after_min INTEGER,
    meal_id INTEGER,
    site TEXT,
    site_detail TEXT,
    hands TEXT DEFAULT 'unknown' NOT NULL,
    standing TEXT DEFAULT 'counted' NOT NULL,
    standing_why TEXT,
    meter_id INTEGER,
    vial_id INTEGER,
    odd_ok INTEGER DEFAULT 0 NOT NULL,
    CONSTRAINT pk_reading PRIMARY KEY (id),
    CONSTRAINT ck_reading_moment_whole CHECK ((instant IS NULL AND wall IS NULL AND zone IS NULL AND offset_min IS NULL AND day IS NULL AND minute IS NULL) OR (typeof(instant) = 'integer' AND instant BETWEEN 0 AND 7258118400 AND wall IS NOT NULL AND zone IS NOT NULL AND typeof(offset_min) = 'integer' AND typeof(day) = 'integer' AND typeof(minute) = 'integer' AND minute BETWEEN 0 AND 1439)),
    CONSTRAINT ck_reading_bound_known CHECK (bound IN ('exact', 'below', 'above', 'no_value')),
    CONSTRAINT ck_reading_unit_known CHECK (unit IN ('mg/dL', 'mmol/L')),
    CONSTRAINT ck_reading_mg_dl_possible CHECK (mg_dl IS NULL OR (typeof(mg_dl) = 'real' AND mg_dl > 0 AND mg_dl < 3000)),
    CONSTRAINT ck_reading_value_fits_bound CHECK ((bound = 'exact' AND value IS NOT NULL AND mg_dl IS NOT NULL) OR (bound IN ('below', 'above') AND (value IS NULL) = (mg_dl IS NULL)) OR (bound = 'no_value' AND value IS NULL AND mg_dl IS NULL)),
    CONSTRAINT ck_reading_standing_known CHECK (standing IN ('counted', 'set_aside', 'not_mine')),
    CONSTRAINT ck_reading_set_aside_says_why CHECK (standing != 'set_aside' OR standing_why IS NOT NULL),
    CONSTRAINT ck_reading_after_min_whole CHECK (after_min IS NULL OR typeof(after_min) = 'integer'),
    CONSTRAINT ck_reading_memory_order_whole CHECK (memory_order IS NULL OR typeof(memory_order) = 'integer'),
    CONSTRAINT ck_reading_seq_whole CHECK (seq IS NULL OR typeof(seq) = 'integer'),
    CONSTRAINT ck_reading_status_bits_whole CHECK (status_bits IS NULL OR typeof(status_bits) = 'integer'),
    CONSTRAINT ck_reading_odd_ok_whole CHECK (odd_ok IS NULL OR typeof(odd_ok) = 'integer'),
    CONSTRAINT ck_reading_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_reading_uid UNIQUE (uid),
    CONSTRAINT fk_reading_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_reading_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_reading_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT,
    CONSTRAINT fk_reading_import_id FOREIGN KEY(import_id) REFERENCES import_batch (id) ON DELETE RESTRICT,
    CONSTRAINT fk_reading_keeper_id FOREIGN KEY(keeper_id) REFERENCES keeper (id) ON DELETE RESTRICT,
    CONSTRAINT fk_reading_place_id FOREIGN KEY(place_id) REFERENCES place (id) ON DELETE RESTRICT,
    CONSTRAINT fk_reading_clock_repair_id FOREIGN KEY(clock_repair_id) REFERENCES clock_repair (id) ON DELETE RESTRICT,
    CONSTRAINT fk_reading_meal_id FOREIGN KEY(meal_id) REFERENCES event (id) ON DELETE RESTRICT,
    CONSTRAINT fk_reading_meter_id FOREIGN KEY(meter_id) REFERENCES meter (id) ON DELETE RESTRICT,
    CONSTRAINT fk_reading_vial_id FOREIGN KEY(vial_id) REFERENCES vial (id) ON DELETE RESTRICT
);

CREATE INDEX ix_reading_person ON reading (person_id, instant) WHERE deleted_at IS NULL;

CREATE INDEX ix_reading_import ON reading (import_id) WHERE import_id IS NOT NULL;

CREATE UNIQUE INDEX uq_reading_source ON reading (person_id, source_key) WHERE source_key IS NOT NULL;

CREATE INDEX ix_reading_memory ON reading (meter_id, memory_order);

CREATE INDEX ix_reading_rev ON reading (rev);

CREATE TABLE help (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    reading_id INTEGER,
    instant INTEGER,
    wall TEXT,
    zone TEXT,
    offset_min INTEGER,
    day INTEGER,
    minute INTEGER,
    what TEXT,
    CONSTRAINT pk_help PRIMARY KEY (id),
    CONSTRAINT ck_help_moment_whole CHECK ((instant IS NULL AND wall IS NULL AND zone IS NULL AND offset_min IS NULL AND day IS NULL AND minute IS NULL) OR (typeof(instant) = 'integer' AND instant BETWEEN 0 AND 7258118400 AND wall IS NOT NULL AND zone IS NOT NULL AND typeof(offset_min) = 'integer' AND typeof(day) = 'integer' AND typeof(minute) = 'integer' AND minute BETWEEN 0 AND 1439)),
    CONSTRAINT ck_help_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_help_uid UNIQUE (uid),
    CONSTRAINT fk_help_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_help_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_help_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT,
    CONSTRAINT fk_help_reading_id FOREIGN KEY(reading_id) REFERENCES reading (id) ON DELETE RESTRICT
);

CREATE INDEX ix_help_person ON help (person_id, instant) WHERE deleted_at IS NULL;

CREATE TABLE lab_result (
    id INTEGER NOT NULL,
    uid BLOB NOT NULL,
    born INTEGER NOT NULL,
    rev INTEGER NOT NULL,
    deleted_at INTEGER,
    person_id INTEGER NOT NULL,
    kind TEXT NOT NULL,
    value TEXT NOT NULL,
    unit TEXT NOT NULL,
    instant INTEGER,
    wall TEXT,
    zone TEXT,
    offset_min INTEGER,
    day INTEGER,
    minute INTEGER,
    reading_id INTEGER,
    CONSTRAINT pk_lab_result PRIMARY KEY (id),
    CONSTRAINT ck_lab_result_moment_whole CHECK ((instant IS NULL AND wall IS NULL AND zone IS NULL AND offset_min IS NULL AND day IS NULL AND minute IS NULL) OR (typeof(instant) = 'integer' AND instant BETWEEN 0 AND 7258118400 AND wall IS NOT NULL AND zone IS NOT NULL AND typeof(offset_min) = 'integer' AND typeof(day) = 'integer' AND typeof(minute) = 'integer' AND minute BETWEEN 0 AND 1439)),
    CONSTRAINT ck_lab_result_kind_fits_unit CHECK ((kind = 'a1c' AND unit IN ('%', 'mmol/mol')) OR (kind = 'glucose' AND unit IN ('mg/dL', 'mmol/L'))),
    CONSTRAINT ck_lab_result_uid_is_16_bytes CHECK (typeof(uid) = 'blob' AND length(uid) = 16),
    CONSTRAINT uq_lab_result_uid UNIQUE (uid),
    CONSTRAINT fk_lab_result_born FOREIGN KEY(born) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_lab_result_rev FOREIGN KEY(rev) REFERENCES journal_entry (id) ON DELETE RESTRICT,
    CONSTRAINT fk_lab_result_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT,
    CONSTRAINT fk_lab_result_reading_id FOREIGN KEY(reading_id) REFERENCES reading (id) ON DELETE RESTRICT
);

CREATE INDEX ix_lab_result_person ON lab_result (person_id, instant) WHERE deleted_at IS NULL;
