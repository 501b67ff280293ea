"""Plans in the file: their versions with rules and exceptions, and where a person was when."""

from __future__ import annotations

import sqlite3
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import UUID, uuid4

from app.domain.clock import Moment
from app.domain.marks import Mark, known_mark
from app.domain.person import Person
from app.domain.plans import Plan, PlanException, PlanRule
from app.domain.written import Event
from app.store import schema
from app.store.connection import rows_of
from app.store.diary import Diary

if TYPE_CHECKING:
    from app.store.journal import Change

_PLANS = "SELECT * FROM plan WHERE person_id = ? AND deleted_at IS NULL ORDER BY from_day, id"
_RULES = (
    "SELECT plan_rule.* FROM plan_rule JOIN plan ON plan.id = plan_id WHERE person_id = ?"
    " AND plan.deleted_at IS NULL AND plan_rule.deleted_at IS NULL ORDER BY plan_rule.id"
)
_EXCEPTIONS = (
    "SELECT plan_exception.* FROM plan_exception JOIN plan_rule ON plan_rule.id = rule_id"
    " JOIN plan ON plan.id = plan_id WHERE person_id = ? AND plan_exception.deleted_at IS NULL"
    " ORDER BY plan_exception.id"
)
_STRETCHES = (
    "SELECT from_instant, to_instant, zone FROM zone_stretch WHERE person_id = ?"
    " AND deleted_at IS NULL ORDER BY from_instant, id"
)
# The level of a meal that was said to begin just then: a test after it is due.
BEGUN = "begun"
_BEGUN = (
    "SELECT * FROM event WHERE person_id = ? AND deleted_at IS NULL AND level = ?"
    " AND instant IS NOT NULL ORDER BY instant, id"
)
_GONE = (
    "SELECT plan_rule.uid, start_wall, plan_rule.zone FROM plan_rule"
    " JOIN plan ON plan.id = plan_id WHERE person_id = ?"
    " AND (plan_rule.deleted_at IS NOT NULL OR plan.deleted_at IS NOT NULL) ORDER BY plan_rule.id"
)
_NEWEST = (
    "SELECT max((SELECT ifnull(max(rev), 0) FROM plan WHERE person_id = :person),"
    " (SELECT ifnull(max(plan_rule.rev), 0) FROM plan_rule JOIN plan ON plan.id = plan_id"
    " WHERE person_id = :person),"
    " (SELECT ifnull(max(plan_exception.rev), 0) FROM plan_exception"
    " JOIN plan_rule ON plan_rule.id = rule_id JOIN plan ON plan.id = plan_id"
    " WHERE person_id = :person),"
    " (SELECT ifnull(max(rev), 0) FROM span WHERE person_id = :person),"
    " (SELECT ifnull(max(rev), 0) FROM usual_time WHERE person_id = :person))"
)
_USUAL = (
    "SELECT mark, minute, from_day FROM usual_time WHERE person_id = ? AND deleted_at IS NULL"
    " ORDER BY from_day, id"
)


def plans_of(diary: Diary, person: Person) -> tuple[Plan, ...]:
    """Every version of every plan of a person, the one begun first before."""
    with diary.driver() as driver:
        plans = rows_of(driver, _PLANS, (person.id,))
        rules = rows_of(driver, _RULES, (person.id,)) if plans else []
        exceptions = rows_of(driver, _EXCEPTIONS, (person.id,)) if plans else []
    of_rule: dict[int, list[PlanException]] = {}
    for row in exceptions:
        to = row["to_wall"]
        found = PlanException(
            uid=UUID(bytes=row["uid"]),
            wall=datetime.fromisoformat(row["wall"]),
            kind=row["kind"],
            to_wall=None if to is None else datetime.fromisoformat(to),
        )
        of_rule.setdefault(row["rule_id"], []).append(found)
    of_plan: dict[int, list[PlanRule]] = {}
    for row in rules:
        rule = _rule(row, tuple(of_rule.get(row["id"], ())))
        of_plan.setdefault(row["plan_id"], []).append(rule)
    return tuple(
        Plan(
            name=row["name"],
            kind=row["kind"],
            source=row["source"],
            from_day=row["from_day"],
            to_day=row["to_day"],
            rules=tuple(of_plan.get(row["id"], ())),
            id=row["id"],
            uid=UUID(bytes=row["uid"]),
        )
        for row in plans
    )


def stretches_of(diary: Diary, person: Person) -> tuple[tuple[int, int | None, str], ...]:
    """When the person was in another zone: first instant, last one or None, and the zone."""
    with diary.driver() as driver:
        rows = rows_of(driver, _STRETCHES, (person.id,))
    return tuple((row["from_instant"], row["to_instant"], row["zone"]) for row in rows)


def rules_gone(diary: Diary, person: Person) -> tuple[tuple[UUID, datetime, str | None], ...]:
    """The rules in the bin: uid, first time and zone; a calendar may still hold them."""
    with diary.driver() as driver:
        rows = driver.execute(_GONE, (person.id,)).fetchall()
    found = []
    for uid, start, zone in rows:
        try:
            found.append((UUID(bytes=uid), datetime.fromisoformat(start), zone))
        except ValueError:  # emptied from the bin: nothing is known of it any more
            continue
    return tuple(found)


def newest_change(diary: Diary, person: Person) -> int:
    """The newest journal entry that changed what is planned or expected; it never falls."""
    with diary.driver() as driver:
        return int(driver.execute(_NEWEST, {"person": person.id}).fetchone()[0])


def begun_meals(diary: Diary, person: Person) -> tuple[Event, ...]:
    """The meals that the person said had begun, by time."""
    with diary.driver() as driver:
        rows = rows_of(driver, _BEGUN, (person.id, BEGUN))
    return tuple(
        Event(
            id=row["id"],
            uid=UUID(bytes=row["uid"]),
            kind=row["kind"],
            text=row["text"],
            start=Moment(row["instant"], row["wall"], row["zone"], row["offset_min"]),
            end=row["end_instant"],
            carb_g=row["carb_g"],
            level=row["level"],
        )
        for row in rows
    )


def usual_times_ever(diary: Diary, person: Person) -> dict[Mark, tuple[tuple[int, int], ...]]:
    """The usual times by mark as (from day, minute) pairs, sorted; day 0 is "always"."""
    with diary.driver() as driver:
        rows = rows_of(driver, _USUAL, (person.id,))
    found: dict[Mark, dict[int, int]] = {}
    for row in rows:
        mark = known_mark(row["mark"])
        if mark is not None:
            found.setdefault(mark, {})[row["from_day"] or 0] = row["minute"]
    return {mark: tuple(sorted(held.items())) for mark, held in found.items()}


def write_plan(change: Change, person: Person, plan: Plan) -> UUID:
    """Write a version of a plan with its rules and their exceptions; returns the uid."""
    uid = uuid4()
    plan_id = change.add(
        schema.plan,
        uid=uid,
        person_id=person.id,
        name=plan.name,
        kind=plan.kind,
        source=plan.source,
        from_day=plan.from_day,
        to_day=plan.to_day,
    )
    for rule in plan.rules:
        rule_id = change.add(
            schema.plan_rule,
            plan_id=plan_id,
            mark=rule.mark.value if rule.mark else None,
            rrule="\n".join(rule.recurs),
            start_wall=rule.start.isoformat(timespec="minutes"),
            zone=rule.zone,
            relative_to=rule.relative_to.value if rule.relative_to else None,
            offset_min=rule.offset_min if rule.relative_to else None,
            before_min=rule.before_min,
            after_min=rule.after_min,
            text=rule.text,
        )
        for each in rule.exceptions:
            write_exception(change, rule_id, each.wall, each.kind, each.to_wall)
    return uid


def end_plan(change: Change, plan: Plan, last_day: int) -> None:
    """Let a version end with a day (a date ordinal); one that would never hold goes to the bin."""
    if last_day < plan.from_day:
        for rule in plan.rules:
            for each in rule.exceptions:
                drop_exception(change, each)
            change.delete(schema.plan_rule, rule.id)
        change.delete(schema.plan, plan.id)
    else:
        change.edit(schema.plan, plan.id, to_day=last_day)


def write_exception(
    change: Change, rule_id: int, wall: datetime, kind: str, to_wall: datetime | None
) -> None:
    """Write what was done with one planned test alone, in place of what was written before."""
    table = schema.plan_exception
    at = wall.isoformat(timespec="minutes")
    there = change.connection.exec_driver_sql(
        "SELECT * FROM plan_exception WHERE rule_id = ? AND wall = ? AND deleted_at IS NULL",
        (rule_id, at),
    ).mappings()
    to = None if to_wall is None else to_wall.isoformat(timespec="minutes")
    row = there.first()
    if row is None:
        change.add(table, rule_id=rule_id, wall=at, kind=kind, to_wall=to)
    else:
        change.edit(table, row["id"], before=row, kind=kind, to_wall=to)


def drop_exception(change: Change, exception: PlanException) -> None:
    """Put what was done with one planned test into the bin: it is expected again."""
    row = change.connection.exec_driver_sql(
        "SELECT id FROM plan_exception WHERE uid = ?", (exception.uid.bytes,)
    ).one()
    change.delete(schema.plan_exception, int(row[0]))


def end_span(change: Change, span_id: int, last_day: int, *, ends: int | None = None) -> None:
    """Let days with a name end (a date ordinal); those that would hold none go to the bin.

    `ends` is an instant (UTC seconds) within the last day, where that was said.
    """
    row = change.connection.exec_driver_sql(
        "SELECT * FROM span WHERE id = ?", (span_id,)
    ).mappings()
    held = row.one()
    if last_day < held["from_day"]:
        change.delete(schema.span, span_id)
    else:
        change.edit(schema.span, span_id, before=held, to_day=last_day, to_instant=ends)


def _rule(row: sqlite3.Row, exceptions: tuple[PlanException, ...]) -> PlanRule:
    return PlanRule(
        mark=known_mark(row["mark"]) if row["mark"] else None,
        recurs=tuple(row["rrule"].splitlines()),
        start=datetime.fromisoformat(row["start_wall"]),
        zone=row["zone"],
        relative_to=known_mark(row["relative_to"]) if row["relative_to"] else None,
        offset_min=row["offset_min"] or 0,
        before_min=row["before_min"],
        after_min=row["after_min"],
        text=row["text"],
        exceptions=exceptions,
        id=row["id"],
        uid=UUID(bytes=row["uid"]),
    )
