"""A rule of a plan as a form shows it, and back; what no form shows is kept as it is."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from app.domain.marks import Mark
from app.domain.plan_files import WEEKDAYS, planned_test
from app.domain.plans import ANY_DAY, FREE_DAYS, SCHOOL_DAYS, PlanRule

EVERY_DAY, ON_WEEKDAYS, EVERY_N, AS_IT_IS = "daily", "weekdays", "every", "as it is"

_CODES = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
_UNTIL = re.compile(r"\d{8}(T\d{6})?")
_ON = {SCHOOL_DAYS: "school days", FREE_DAYS: "free days"}


@dataclass(frozen=True, slots=True)
class RuleRow:
    """What a form asks of one test: what, when in the day, on which days, until when.

    `minute` is that of the day; with `follows` it is the usual time of that mark and `offset`
    minutes, and `minute` where none was said. `kept` is the rule that the row was made from.
    """

    mark: Mark | None
    minute: int
    repeats: str = EVERY_DAY
    every: int = 1
    weekdays: tuple[int, ...] = ()
    school: str = ANY_DAY
    until: date | None = None
    follows: Mark | None = None
    offset: int = 0
    text: str | None = None
    kept: PlanRule | None = None


def row_of(rule: PlanRule) -> RuleRow:
    """The row of a rule; one that repeats in a way no form shows is `AS_IT_IS`."""
    row = RuleRow(
        mark=rule.mark,
        minute=rule.start.hour * 60 + rule.start.minute,
        repeats=AS_IT_IS,
        school=rule.school,
        follows=rule.relative_to,
        offset=rule.offset_min,
        text=rule.text,
        kept=rule,
    )
    parts = dict(each.split("=", 1) for each in (rule.rrule or "").split(";") if "=" in each)
    days = [each for each in parts.pop("BYDAY", "").split(",") if each]
    until, frequency = parts.pop("UNTIL", None), parts.pop("FREQ", None)
    step = int(parts.pop("INTERVAL", "1"))
    parts.pop("WKST", None)
    if rule.dates or parts or (until is not None and not _UNTIL.fullmatch(until)):
        return row
    last = None if until is None else date.fromisoformat(until[:8])
    if frequency == "DAILY" and not days:
        return replace(row, repeats=EVERY_DAY if step == 1 else EVERY_N, every=step, until=last)
    if frequency in ("DAILY", "WEEKLY") and step == 1 and days and set(days) <= set(_CODES):
        chosen = tuple(sorted(_CODES.index(day) for day in days))
        return replace(row, repeats=ON_WEEKDAYS, weekdays=chosen, until=last)
    return row


def rule_of(row: RuleRow, first: date) -> PlanRule:
    """The rule of a row, in a plan that is in force from a day on.

    One that nobody changed stays what it was, with what was done with single tests of it; a changed
    one that comes every so many days keeps its turn.

    Raises
    ------
    Refused
        What the row asks makes no sense; the sentence does not say which test.
    """
    kept = row.kept
    if kept is not None and row_of(kept) == row:
        return kept
    if row.repeats == AS_IT_IS and kept is not None:
        hour, minute = divmod(row.minute, 60)
        return replace(
            kept,
            mark=row.mark,
            text=row.text,
            start=kept.start.replace(hour=hour, minute=minute),
            relative_to=row.follows,
            offset_min=row.offset if row.follows else 0,
        )
    rule = planned_test(_words(row), first)
    if kept is None:
        return rule
    if kept.mark is row.mark:
        rule = replace(rule, before_min=kept.before_min, after_min=kept.after_min)
    if row.repeats == EVERY_N:
        day = kept.start.date()
        rule = replace(rule, start=rule.start.replace(year=day.year, month=day.month, day=day.day))
    return replace(rule, zone=kept.zone)


def _words(row: RuleRow) -> Mapping[str, Any]:
    hour, minute = divmod(row.minute, 60)
    words: dict[str, Any] = {"at": f"{hour:02}:{minute:02}"}
    if row.mark is not None:
        words["mark"] = row.mark.value
    if row.follows is not None:
        words |= {"follows": row.follows.value, "minutes": row.offset}
    if row.repeats == ON_WEEKDAYS:
        words["weekdays"] = [WEEKDAYS[day] for day in row.weekdays]
    elif row.repeats == EVERY_N:
        words["every"] = row.every
    if row.school in _ON:
        words["on"] = _ON[row.school]
    if row.until is not None:
        words["until"] = row.until
    if row.text:
        words["text"] = row.text
    return words
