"""What is written in the diary: readings, and everything that gives them meaning."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Column, Float, Index

from app.store.schema.base import (
    LIVE,
    blob,
    integer,
    moment,
    refers,
    source,
    source_indexes,
    stamp,
    user_table,
    whole_number,
    words,
)

event = user_table(
    "event",
    refers("person_id", "person"),
    words("kind"),  # meal, snack, exercise, symptom, journey, other
    words("level", null=True),
    *moment(),
    integer("end_instant", null=True),
    Column("carb_g", Float, nullable=True),
    words("text", null=True),
    *stamp(),
    *source(),
    CheckConstraint(
        "carb_g IS NULL OR (carb_g >= 0 AND typeof(carb_g) IN ('real', 'integer'))",
        name="carb_not_negative",
    ),
    Index("ix_event_person", "person_id", "instant", sqlite_where=LIVE),
    *source_indexes("event"),
)

reading = user_table(
    "reading",
    refers("person_id", "person"),
    words("bound", default="exact"),
    words("value", null=True),
    words("unit"),
    Column("mg_dl", Float, nullable=True),
    *moment(),
    *stamp(),
    *source(),
    words("time_from"),  # now, typed, file, meter, paper
    words("time_state", default="sure"),  # sure, repaired, asked, gap, overlap, future, undated
    words("time_precision", default="minute"),  # second, minute, slot, day
    integer("memory_order", null=True),
    integer("seq", null=True),
    integer("status_bits", default=0),
    refers("clock_repair_id", "clock_repair", null=True),
    words("mark", default="none"),
    words("mark_from", null=True),  # person, file, accepted
    integer("after_min", null=True),
    refers("meal_id", "event", null=True),
    words("site", null=True),
    words("site_detail", null=True),
    words("hands", default="unknown"),
    words("standing", default="counted"),
    words("standing_why", null=True),
    refers("meter_id", "meter", null=True),
    refers("vial_id", "vial", null=True),
    integer("odd_ok", default=0),
    CheckConstraint("bound IN ('exact', 'below', 'above', 'no_value')", name="bound_known"),
    CheckConstraint("unit IN ('mg/dL', 'mmol/L')", name="unit_known"),
    CheckConstraint(
        "mg_dl IS NULL OR (typeof(mg_dl) = 'real' AND mg_dl > 0 AND mg_dl < 3000)",
        name="mg_dl_possible",
    ),
    CheckConstraint(
        "(bound = 'exact' AND value IS NOT NULL AND mg_dl IS NOT NULL)"
        " OR (bound IN ('below', 'above') AND (value IS NULL) = (mg_dl IS NULL))"
        " OR (bound = 'no_value' AND value IS NULL AND mg_dl IS NULL)",
        name="value_fits_bound",
    ),
    CheckConstraint("standing IN ('counted', 'set_aside', 'not_mine')", name="standing_known"),
    CheckConstraint(
        "standing != 'set_aside' OR standing_why IS NOT NULL", name="set_aside_says_why"
    ),
    *whole_number("after_min", "memory_order", "seq", "status_bits", "odd_ok"),
    Index("ix_reading_person", "person_id", "instant", sqlite_where=LIVE),
    Index("ix_reading_memory", "meter_id", "memory_order"),
    Index("ix_reading_rev", "rev"),  # what changed since: the window follows by it
    *source_indexes("reading"),
)

dose = user_table(
    "dose",
    refers("person_id", "person"),
    words("what"),
    words("kind", null=True),
    words("amount"),
    Column("amount_num", Float, nullable=False),
    words("unit"),
    *moment(),
    *stamp(),
    *source(),
    CheckConstraint(
        "typeof(amount_num) IN ('real', 'integer') AND amount_num >= 0", name="amount_not_negative"
    ),
    Index("ix_dose_person", "person_id", "instant", sqlite_where=LIVE),
    *source_indexes("dose"),
)

ketone = user_table(
    "ketone",
    refers("person_id", "person"),
    words("method"),  # blood, urine
    words("bound", default="exact"),
    words("value", null=True),
    words("unit", null=True),
    words("level", null=True),
    *moment(),
    *stamp(),
    *source(),
    refers("meter_id", "meter", null=True),
    refers("vial_id", "vial", null=True),
    CheckConstraint(
        "(method = 'blood' AND (value IS NOT NULL OR bound != 'exact'))"
        " OR (method = 'urine' AND level IS NOT NULL)",
        name="result_fits_method",
    ),
    Index("ix_ketone_person", "person_id", "instant", sqlite_where=LIVE),
    *source_indexes("ketone"),
)

note = user_table(
    "note",
    words("tbl"),
    blob("row_uid"),
    words("text"),
    integer("private_copy", null=True),
    Index("ix_note_row", "row_uid"),
)

tag = user_table(
    "tag",
    refers("person_id", "person"),
    words("label"),
    integer("rank", default=0),
    Index("uq_tag_label", "person_id", "label", unique=True, sqlite_where=LIVE),
)

tag_on = user_table(
    "tag_on",
    refers("tag_id", "tag"),
    words("tbl"),
    blob("row_uid"),
    Index("uq_tag_on_row", "tag_id", "row_uid", unique=True, sqlite_where=LIVE),
    Index("ix_tag_on_row", "row_uid"),
)

help_record = user_table(
    "help",
    refers("person_id", "person"),
    refers("reading_id", "reading", null=True),
    *moment(),
    words("what", null=True),
    Index("ix_help_person", "person_id", "instant", sqlite_where=LIVE),
)

lab_result = user_table(
    "lab_result",
    refers("person_id", "person"),
    words("kind"),
    words("value"),
    words("unit"),
    *moment(),
    refers("reading_id", "reading", null=True),
    CheckConstraint(
        "(kind = 'a1c' AND unit IN ('%', 'mmol/mol'))"
        " OR (kind = 'glucose' AND unit IN ('mg/dL', 'mmol/L'))",
        name="kind_fits_unit",
    ),
    Index("ix_lab_result_person", "person_id", "instant", sqlite_where=LIVE),
)

span = user_table(
    "span",
    refers("person_id", "person"),
    words("kind"),  # sick, set_aside, journey, holiday, term, away, paused, steroid, ...
    integer("from_day"),
    integer("to_day", null=True),
    integer("from_instant", null=True),
    integer("to_instant", null=True),
    words("text", null=True),
    integer("set_aside", default=0),
    CheckConstraint("to_day IS NULL OR from_day <= to_day", name="begins_before_it_ends"),
    *whole_number("from_day", "to_day", "from_instant", "to_instant"),
    Index("ix_span_person", "person_id", "from_day"),
)

change_mark = user_table(
    "change_mark",
    refers("person_id", "person"),
    integer("day"),
    words("what"),
    integer("settling_days", default=3),
    integer("to_day", null=True),
    *whole_number("day", "settling_days", "to_day"),
    Index("ix_change_mark_person", "person_id", "day"),
)

visit = user_table(
    "visit",
    refers("person_id", "person"),
    integer("day"),
    words("outcome", null=True),
    *whole_number("day"),
    Index("ix_visit_person", "person_id", "day"),
)

ask_item = user_table(
    "ask_item",
    refers("person_id", "person"),
    refers("visit_id", "visit", null=True),
    words("text"),
    integer("done_at", null=True),
    *whole_number("done_at"),
    Index("ix_ask_item_person", "person_id"),
)

question = user_table(
    "question",
    refers("person_id", "person"),
    words("spec"),  # JSON: what is compared, where, and what was looked at
    integer("asked_at"),
    *whole_number("asked_at"),
    Index("ix_question_person", "person_id", "asked_at"),
)
