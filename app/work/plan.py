"""Agreeing on a plan, putting one planned test aside, pausing, and saying that a meal began.

Each is one transaction with one entry in the journal, so that it can be taken back.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID

from app.domain.clock import Moment
from app.domain.errors import Refused
from app.domain.person import Person
from app.domain.plans import MEALS, MOVE, SKIP, Plan
from app.statistics.schedule.expand import checked_recurrence
from app.store.diary import Diary
from app.store.noting import write_event, write_span
from app.store.plans import (
    BEGUN,
    drop_exception,
    end_plan,
    end_span,
    plans_of,
    write_exception,
    write_plan,
)
from app.store.spans import spans_between
from app.work.note_down import kept_text, wall_words
from app.work.told import told

PLAN_SET, PLAN_END, PLAN_PAUSE, PLAN_RESUME = "plan_set", "plan_end", "plan_pause", "plan_resume"
PLAN_TEST, PLAN_TEST_BACK, MEAL_BEGUN = "plan_test", "plan_test_back", "meal_begun"

PAUSED = "paused"


@dataclass(frozen=True, slots=True)
class PlanChanged:
    """What was done, in one sentence; the uid of the plan's version or of what was written."""

    uid: UUID | None
    sentence: str


def set_plan(
    diary: Diary, person: Person, plan: Plan, *, now: datetime, beside: bool = False
) -> PlanChanged:
    """Put a plan in force from its first day on; what was planned before stays as it was.

    Parameters
    ----------
    beside : bool, default False
        The running plans go on; else each ends the day before, or goes to the bin where it would
        begin no earlier. A plan with a last day of its own lets the others go on after it only
        when it is beside them.

    Raises
    ------
    Refused
        The plan has no test in it, or ends before it begins. Nothing was changed.
    """
    if not plan.rules:
        raise Refused("A plan needs at least one test. Nothing was changed.")
    if plan.to_day is not None and plan.to_day < plan.from_day:
        raise Refused("The plan would end before it begins. Nothing was changed.")
    words = {
        "plan": plan.name,
        "from": date.fromordinal(plan.from_day).isoformat(),
        "to": None if plan.to_day is None else date.fromordinal(plan.to_day).isoformat(),
        "tests": len(plan.rules),
    }
    plan = _checked(plan)
    running = [] if beside else _later(plans_of(diary, person), plan.from_day)
    with diary.change(PLAN_SET, words, now=now, person=person) as change:
        for each in running:
            end_plan(change, each, plan.from_day - 1)
        uid = write_plan(change, person, plan)
    return PlanChanged(uid, told(PLAN_SET, words))


def end_plans(
    diary: Diary, person: Person, last: date, *, now: datetime, only: UUID | None = None
) -> PlanChanged:
    """Let the running plans, or one version alone, end with a day.

    Raises
    ------
    Refused
        None is in force after that day. Nothing was changed.
    """
    running = [
        each
        for each in _later(plans_of(diary, person), last.toordinal() + 1)
        if only is None or each.uid == only
    ]
    if not running:
        raise Refused(f"No plan is in force after {last}. Nothing was changed.")
    words = {"plans": [each.name for each in running], "last": last.isoformat()}
    with diary.change(PLAN_END, words, now=now, person=person) as change:
        for each in running:
            end_plan(change, each, last.toordinal())
    return PlanChanged(running[0].uid, told(PLAN_END, words))


def change_plan(
    diary: Diary, person: Person, old: Plan, new: Plan, *, now: datetime
) -> PlanChanged:
    """Put another version in the place of one, from the new one's first day on; others go on."""
    if not new.rules:
        raise Refused("A plan needs at least one test. Nothing was changed.")
    new, first = _checked(new), max(new.from_day, old.from_day)
    words = {
        "plan": new.name,
        "from": date.fromordinal(first).isoformat(),
        "to": None,
        "tests": len(new.rules),
    }
    with diary.change(PLAN_SET, words, now=now, person=person) as change:
        end_plan(change, old, first - 1)
        uid = write_plan(change, person, replace(new, from_day=first))
    return PlanChanged(uid, told(PLAN_SET, words))


def pause_plan(
    diary: Diary, person: Person, first: date, last: date | None, *, now: datetime
) -> PlanChanged:
    """Expect no test on these days, both included; without a last one until it is resumed.

    Raises
    ------
    Refused
        The days end before they begin, or the plan is paused already. Nothing was changed.
    """
    if last is not None and last < first:
        raise Refused(f"The pause ends before it begins: {first} to {last}. Nothing was changed.")
    begin, end = first.toordinal(), last.toordinal() if last else None
    if any(each.kind == PAUSED for each in spans_between(diary, person, begin, begin)):
        raise Refused(f"The plan is paused on {first} already. Nothing was changed.")
    words = {"first": first.isoformat(), "last": last.isoformat() if last else None}
    with diary.change(PLAN_PAUSE, words, now=now, person=person) as change:
        uid = write_span(
            change,
            person,
            kind=PAUSED,
            text=None,
            first_day=begin,
            last_day=end,
            set_aside=False,
        )
    return PlanChanged(uid, told(PLAN_PAUSE, words))


def resume_plan(diary: Diary, person: Person, day: date, *, now: datetime) -> PlanChanged:
    """Expect tests again from a day on.

    Raises
    ------
    Refused
        The plan is not paused then. Nothing was changed.
    """
    ordinal = day.toordinal()
    paused = [
        each for each in spans_between(diary, person, ordinal, ordinal) if each.kind == PAUSED
    ]
    if not paused:
        raise Refused(f"The plan is not paused on {day}. Nothing was changed.")
    words = {"first": day.isoformat()}
    with diary.change(PLAN_RESUME, words, now=now, person=person) as change:
        for each in paused:
            end_span(change, each.id, ordinal - 1)
    return PlanChanged(None, told(PLAN_RESUME, words))


def put_aside(
    diary: Diary,
    person: Person,
    rule_id: int,
    planned: datetime,
    *,
    now: datetime,
    kind: str = SKIP,
    to: datetime | None = None,
) -> PlanChanged:
    """Do something with one planned test alone: put aside, moved, or done elsewhere.

    Parameters
    ----------
    rule_id, planned : int, datetime
        The rule and the naive wall time for which it planned the test.
    kind : str
        `SKIP`, `MOVE` (with `to`, naive) or `ELSEWHERE`: tested, and not written here.

    Raises
    ------
    Refused
        A test is moved to no time. Nothing was changed.
    """
    if (kind == MOVE) is (to is None):
        raise Refused("Say to when the test is moved. Nothing was changed.")
    rules = {rule.id: rule for plan in plans_of(diary, person) for rule in plan.rules}
    if rule_id not in rules:
        raise Refused("That test is in no plan of this person. Nothing was changed.")
    words = {
        "test": rules[rule_id].words,
        "at": f"{planned:%Y-%m-%d %H:%M}",
        "what": kind,
        "to": f"{to:%Y-%m-%d %H:%M}" if to else None,
    }
    with diary.change(PLAN_TEST, words, now=now, person=person) as change:
        write_exception(change, rule_id, planned, kind, to)
    return PlanChanged(rules[rule_id].uid, told(PLAN_TEST, words))


def expect_again(
    diary: Diary, person: Person, rule_id: int, planned: datetime, *, now: datetime
) -> PlanChanged:
    """Expect one planned test as its rule says.

    Raises
    ------
    Refused
        Nothing was done with it. Nothing was changed.
    """
    rules = {rule.id: rule for plan in plans_of(diary, person) for rule in plan.rules}
    rule = rules.get(rule_id)
    found = [each for each in rule.exceptions if each.wall == planned] if rule else []
    if rule is None or not found:
        raise Refused("That test was not put aside. Nothing was changed.")
    words = {"test": rule.words, "at": f"{planned:%Y-%m-%d %H:%M}"}
    with diary.change(PLAN_TEST_BACK, words, now=now, person=person) as change:
        for each in found:
            drop_exception(change, each)
    return PlanChanged(rule.uid, told(PLAN_TEST_BACK, words))


def begin_meal(
    diary: Diary, person: Person, at: Moment, *, now: datetime, meal: str = "meal"
) -> PlanChanged:
    """Write down that a meal has begun: the test two hours after its start becomes due.

    Raises
    ------
    Refused
        It is none of `app.domain.plans.MEALS`. Nothing was saved.
    """
    said = kept_text(meal) or "meal"
    if said not in MEALS:
        raise Refused(f'"{meal}" is no meal here; say one of: {", ".join(MEALS)}.')
    words = {"meal": said, "at": wall_words(at)}
    with diary.change(MEAL_BEGUN, words, now=now, person=person) as change:
        uid = write_event(
            change,
            person,
            at,
            kind="snack" if said == "snack" else "meal",
            text=said,
            end=None,
            carb_g=None,
            keeper=None,
            level=BEGUN,
        )
    return PlanChanged(uid, told(MEAL_BEGUN, words))


def _later(plans: Iterable[Plan], day: int) -> list[Plan]:
    """The versions in force on a day (a date ordinal) or after it."""
    return [each for each in plans if each.to_day is None or each.to_day >= day]


def _checked(plan: Plan) -> Plan:
    """The plan with every recurrence as it will be kept; refuses one that is none."""
    rules = []
    for rule in plan.rules:
        try:
            lines = [
                f"RRULE:{checked_recurrence(line)}" if line.startswith("RRULE:") else line
                for line in rule.recurs
            ]
        except ValueError as problem:
            raise Refused(f"“{rule.words}” can't repeat: {problem}. Nothing was changed.") from None
        rules.append(replace(rule, recurs=tuple(lines)))
    return replace(plan, rules=tuple(rules))
