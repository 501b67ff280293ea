"""People, how they want things, their goals, and who writes where."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Index, text

from app.store.schema.base import (
    LIVE,
    integer,
    limit_pair,
    refers,
    user_table,
    whole_number,
    words,
)

person = user_table(
    "person",
    words("name"),
    words("unit"),
    words("zone"),
    integer("clock", default=24),  # 12 or 24 hours
    words("date_order", default="dmy"),
    integer("day_start", default=0),
    CheckConstraint("unit IN ('mg/dL', 'mmol/L')", name="unit_known"),
    CheckConstraint("clock IN (12, 24)", name="clock_known"),
    CheckConstraint(
        "typeof(day_start) = 'integer' AND day_start BETWEEN 0 AND 6", name="day_start_early"
    ),
    Index("uq_person_name", text("lower(name)"), unique=True, sqlite_where=LIVE),
)

person_setting = user_table(
    "person_setting",
    refers("person_id", "person"),
    words("key"),
    integer("from_day", null=True),
    words("value"),  # JSON
    Index(
        "uq_person_setting_key",
        "person_id",
        "key",
        text("coalesce(from_day, 0)"),
        unique=True,
        sqlite_where=LIVE,
    ),
)

usual_time = user_table(
    "usual_time",
    refers("person_id", "person"),
    words("mark"),
    integer("weekdays", default=127),  # bit 0 is Monday
    integer("minute"),
    integer("from_day", null=True),
    *whole_number("minute"),
    Index("ix_usual_time_person", "person_id"),
)

keeper = user_table("keeper", words("name"), refers("person_id", "person", null=True))

place = user_table("place", words("name"), refers("person_id", "person", null=True))

care_text = user_table(
    "care_text",
    refers("person_id", "person"),
    words("kind"),  # those of domain.care
    words("text"),
    integer("from_day", null=True),
    Index("ix_care_text_person", "person_id"),
)

target_set = user_table(
    "target_set",
    refers("person_id", "person"),
    integer("from_day"),
    words("name"),
    words("source"),
    words("preset", null=True),
    *whole_number("from_day"),
    Index("ix_target_set_person", "person_id", "from_day"),
)

target_limit = user_table(
    "target_limit",
    refers("set_id", "target_set"),
    words("mark"),  # a mark's code, or 'all'
    integer("after_from", null=True),
    integer("after_to", null=True),
    *limit_pair("low"),
    *limit_pair("high"),
    integer("high_open", default=0),  # 1: printed as "<180", the limit itself lies above
    CheckConstraint(
        "low_mg IS NULL OR high_mg IS NULL OR (low_mg < high_mg AND low_mmol < high_mmol)",
        name="low_under_high",
    ),
    *whole_number("after_from", "after_to", "high_open"),
    Index("ix_target_limit_set", "set_id"),
)

safety_line = user_table(
    "safety_line",
    refers("person_id", "person"),
    integer("from_day"),
    *limit_pair("very_low"),
    *limit_pair("low"),
    *limit_pair("very_high"),
    words("why", null=True),  # the reason typed for a line under the usual one
    *whole_number("from_day"),
    Index("ix_safety_line_person", "person_id", "from_day"),
)

zone_stretch = user_table(
    "zone_stretch",
    refers("person_id", "person"),
    integer("from_instant"),
    integer("to_instant", null=True),
    words("zone"),
    words("meters_kept", null=True),
    *whole_number("from_instant", "to_instant"),
    Index("ix_zone_stretch_person", "person_id", "from_instant"),
)
