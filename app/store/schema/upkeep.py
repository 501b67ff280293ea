"""What happens to the kit: clocks set and repaired, parts, supplies, memories checked, rulings."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Index

from app.store.schema.base import (
    LIVE,
    blob,
    integer,
    refers,
    user_table,
    whole_number,
    words,
)

clock_setting = user_table(
    "clock_setting",
    refers("meter_id", "meter"),
    integer("at"),
    words("shown_before", null=True),
    words("shown_after", null=True),
    words("cause", null=True),
    *whole_number("at"),
    Index("ix_clock_setting_meter", "meter_id", "at"),
)

clock_anchor = user_table(
    "clock_anchor",
    refers("repair_id", "clock_repair"),
    refers("reading_id", "reading", null=True),
    words("raw_wall", null=True),
    words("true_wall"),
    words("zone"),
    integer("true_instant"),
    words("why", null=True),
    CheckConstraint("reading_id IS NOT NULL OR raw_wall IS NOT NULL", name="says_which_record"),
    *whole_number("true_instant"),
    Index("ix_clock_anchor_repair", "repair_id"),
)

kit_item = user_table(
    "kit_item",
    words("kind"),  # lancing device, battery, ...
    words("name"),
    refers("person_id", "person", null=True),
)

kit_event = user_table(
    "kit_event",
    refers("item_id", "kit_item", null=True),
    refers("meter_id", "meter", null=True),
    refers("vial_id", "vial", null=True),
    words("kind"),  # battery, dropped, heat, cleaned, lancet, unit
    integer("at"),
    words("note", null=True),
    *whole_number("at"),
    Index("ix_kit_event_at", "at"),
)

supply = user_table(
    "supply",
    refers("person_id", "person", null=True),
    words("kind"),
    refers("vial_id", "vial", null=True),
    integer("at"),
    integer("count"),
    words("why"),  # bought, used, wasted, counted
    *whole_number("at", "count"),
)

memory_check = user_table(
    "memory_check",
    refers("meter_id", "meter"),
    refers("import_id", "import_batch", null=True),
    integer("at"),
    integer("total"),
    integer("mine"),
    integer("control"),
    integer("not_mine"),
    integer("not_copied"),
    words("backup", null=True),  # the file name of the verified backup that it spoke of
    CheckConstraint("mine + control + not_mine + not_copied = total", name="accounts_for_all"),
    *whole_number("at", "total", "mine", "control", "not_mine", "not_copied"),
)

ruling = user_table(
    "ruling",
    words("kind"),  # probably_one, doubt_narrowed, clock_no, hint_off, odd_confirmed
    words("tbl"),
    blob("row_uid"),
    blob("other_uid", null=True),
    words("verdict"),
    words("note", null=True),
    Index("uq_ruling_row", "kind", "row_uid", "other_uid", unique=True, sqlite_where=LIVE),
)
