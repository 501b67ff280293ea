"""Every table of the diary, as SQLAlchemy Core tables on one metadata."""

from app.store.schema.base import metadata
from app.store.schema.entries import (
    change_mark,
    dose,
    event,
    help_record,
    ketone,
    lab_result,
    note,
    question,
    reading,
    span,
    tag,
    tag_on,
    visit,
)
from app.store.schema.files import import_batch, import_row, recipe
from app.store.schema.journal import copy, diary, journal_change, journal_entry
from app.store.schema.kit import (
    clock_repair,
    control_test,
    meter,
    solution,
    vial,
    vial_range,
    vial_use,
)
from app.store.schema.people import (
    care_text,
    keeper,
    person,
    person_setting,
    place,
    safety_line,
    target_limit,
    target_set,
    usual_time,
    zone_stretch,
)
from app.store.schema.plans import due_state, follow_rule, plan, plan_exception, plan_rule
from app.store.schema.upkeep import (
    clock_anchor,
    clock_setting,
    kit_event,
    kit_item,
    memory_check,
    ruling,
    supply,
)

USER_TABLES = tuple(
    table for table in metadata.sorted_tables if "rev" in table.c and "uid" in table.c
)

__all__ = [
    "USER_TABLES",
    "care_text",
    "change_mark",
    "clock_anchor",
    "clock_repair",
    "clock_setting",
    "control_test",
    "copy",
    "diary",
    "dose",
    "due_state",
    "event",
    "follow_rule",
    "help_record",
    "import_batch",
    "import_row",
    "journal_change",
    "journal_entry",
    "keeper",
    "ketone",
    "kit_event",
    "kit_item",
    "lab_result",
    "memory_check",
    "metadata",
    "meter",
    "note",
    "person",
    "person_setting",
    "place",
    "plan",
    "plan_exception",
    "plan_rule",
    "question",
    "reading",
    "recipe",
    "ruling",
    "safety_line",
    "solution",
    "span",
    "supply",
    "tag",
    "tag_on",
    "target_limit",
    "target_set",
    "usual_time",
    "vial",
    "vial_range",
    "vial_use",
    "visit",
    "zone_stretch",
]
