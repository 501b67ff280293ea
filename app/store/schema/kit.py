"""The kit: meters and their clocks, strip vials, control solution and control tests."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Index

from app.store.schema.base import (
    LIVE,
    integer,
    limit_pair,
    moment,
    refers,
    source,
    source_indexes,
    stamp,
    user_table,
    whole_number,
    words,
)

# A month ("2026-05", its last day is meant) or a day ("2026-05-31").
_PRINTED = (
    "printed_expiry IS NULL"
    " OR printed_expiry GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]'"
    " OR printed_expiry GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'"
)

meter = user_table(
    "meter",
    refers("person_id", "person", null=True),
    words("name"),
    words("serial", null=True),
    words("unit"),
    *limit_pair("low"),
    *limit_pair("high"),
    integer("capacity", null=True),
    integer("keep_memory", default=0),
    words("zone"),
    integer("first_day", null=True),
    integer("last_day", null=True),
    *whole_number("capacity", "first_day", "last_day"),
)

clock_repair = user_table(
    "clock_repair",
    refers("meter_id", "meter"),
    integer("from_order"),
    integer("to_order", null=True),
    refers("import_id", "import_batch", null=True),
    integer("shift_s"),
    integer("drift_ppm", default=0),
    words("state"),  # proposed, applied, disagrees
    CheckConstraint("to_order IS NULL OR from_order <= to_order", name="begins_before_it_ends"),
    *whole_number("from_order", "to_order", "shift_s", "drift_ppm"),
)

vial = user_table(
    "vial",
    words("kind", default="glucose"),
    refers("person_id", "person", null=True),
    words("lot", null=True),
    integer("strips", null=True),
    words("printed_expiry", null=True),
    integer("opened_day", null=True),
    integer("days_open", null=True),
    integer("finished_day", null=True),
    CheckConstraint(_PRINTED, name="printed_expiry_is_a_date"),
    *whole_number("strips", "opened_day", "days_open", "finished_day"),
)

vial_range = user_table(
    "vial_range",
    refers("vial_id", "vial"),
    words("level"),
    words("low"),
    words("high"),
    words("unit"),
    Index("uq_vial_range_level", "vial_id", "level", unique=True, sqlite_where=LIVE),
)

vial_use = user_table(
    "vial_use",
    refers("vial_id", "vial"),
    refers("meter_id", "meter"),
    integer("from_instant"),
    integer("to_instant", null=True),
    *whole_number("from_instant", "to_instant"),
    Index("ix_vial_use_meter", "meter_id", "from_instant"),
)

solution = user_table(
    "solution",
    words("level"),
    words("lot", null=True),
    words("printed_expiry", null=True),
    integer("opened_day", null=True),
    integer("days_open", default=90),
    CheckConstraint(_PRINTED, name="printed_expiry_is_a_date"),
    *whole_number("opened_day", "days_open"),
)

control_test = user_table(
    "control_test",
    refers("person_id", "person", null=True),
    refers("meter_id", "meter"),
    refers("vial_id", "vial", null=True),
    refers("solution_id", "solution", null=True),
    words("level"),
    words("bound", default="exact"),
    words("value", null=True),
    words("unit"),
    *moment(),
    *stamp(),
    *source(),
    words("temperature", null=True),
    Index("ix_control_test_meter", "meter_id", "instant"),
    *source_indexes("control_test"),
)
