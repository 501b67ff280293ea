"""A day's tests and the rules of the plan as rows with a time."""

from __future__ import annotations

from collections.abc import Sequence

from app.domain.plans import Plan, PlanRule
from app.review.schedule import Ground, Planned, schedule_rule
from app.statistics.schedule.settle import DOUBLED, State
from app.ui.due.rows import Row
from app.ui.plan.reading import PlanRead
from app.ui.plan.signs import sign_of
from app.ui.plan.words import repeats_text, rule_name, state_text, test_name, tr
from app.ui.words import clock_words, joined, minute_words


def test_rows(tests: Sequence[Planned], read: PlanRead) -> list[Row]:
    """The planned tests of one day, each with what became of it."""
    person = read.record.person
    return [
        Row(
            key=each.key,
            when=clock_words(each.wall, person),
            title=test_name(each),
            note=state_text(each, person),
            late=each.settled.state is State.DUE,
            quiet=each.settled.why == DOUBLED or each.settled.state is State.NOT_EXPECTED,
            sign=sign_of(each),
            about=each,
        )
        for each in tests
    ]


def planned_rows(read: PlanRead) -> list[Row]:
    """The rules in force today by their time of day; of several plans each with its name."""
    several = len(read.grid.in_force) > 1
    found = [
        (_minute(plan, rule, read.ground), _row(plan, rule, read, several=several))
        for plan in read.grid.in_force
        for rule in plan.rules
    ]
    return [row for _, row in sorted(found, key=lambda pair: (pair[0], pair[1].title))]


def _row(plan: Plan, rule: PlanRule, read: PlanRead, *, several: bool) -> Row:
    person, today = read.record.person, read.grid.today
    follows = tr("with the usual time") if rule.relative_to is not None else ""
    said = (
        plan.name if several else "",
        repeats_text(rule, today, person),
        follows if not several else "",
    )
    return Row(
        key=f"rule/{rule.uid}",
        when=minute_words(_minute(plan, rule, read.ground), person.clock),
        title=rule_name(rule),
        note=joined(said),
        about=rule,
    )


def _minute(plan: Plan, rule: PlanRule, ground: Ground) -> int:
    """The minute of the day that holds by now: the newest usual time, or that of the rule."""
    minutes = schedule_rule(plan, rule, ground.usual).minutes
    minute = minutes[-1][1] if minutes else rule.start.hour * 60 + rule.start.minute
    return minute % (24 * 60)
