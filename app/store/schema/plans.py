"""Which tests are meant to happen: plans, their rules, what is put aside, and what was shown."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Index

from app.store.schema.base import LIVE, integer, refers, user_table, whole_number, words

plan = user_table(
    "plan",
    refers("person_id", "person"),
    words("name"),
    words("kind"),
    words("source", null=True),
    integer("from_day"),
    integer("to_day", null=True),
    CheckConstraint("to_day IS NULL OR from_day <= to_day", name="begins_before_it_ends"),
    *whole_number("from_day", "to_day"),
    Index("ix_plan_person", "person_id", "from_day"),
)

plan_rule = user_table(
    "plan_rule",
    refers("plan_id", "plan"),
    words("mark", null=True),
    words("rrule"),
    words("start_wall"),
    words("zone", null=True),  # NULL: wherever the person is
    words("relative_to", null=True),
    integer("offset_min", null=True),
    integer("before_min"),
    integer("after_min"),
    words("text", null=True),
    *whole_number("offset_min", "before_min", "after_min"),
    Index("ix_plan_rule_plan", "plan_id"),
)

plan_exception = user_table(
    "plan_exception",
    refers("rule_id", "plan_rule"),
    words("wall"),
    words("kind"),  # skip, move, elsewhere
    words("to_wall", null=True),
    Index("uq_plan_exception_wall", "rule_id", "wall", unique=True, sqlite_where=LIVE),
)

follow_rule = user_table(
    "follow_rule",
    refers("person_id", "person"),
    words("kind"),
    integer("is_on", default=0),
    integer("minutes", null=True),
    words("limits", null=True),
    *whole_number("is_on", "minutes"),
    Index("uq_follow_rule_kind", "person_id", "kind", unique=True, sqlite_where=LIVE),
)

due_state = user_table(
    "due_state",
    refers("person_id", "person"),
    words("key"),
    integer("shown_at", null=True),
    integer("snoozed_to", null=True),
    integer("closed_at", null=True),
    words("how", null=True),
    *whole_number("shown_at", "snoozed_to", "closed_at"),
    Index("uq_due_state_key", "person_id", "key", unique=True, sqlite_where=LIVE),
)
