"""What a plan can never see: slots and days of the week that it asks for no test in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from app.domain.clock import Period
from app.domain.marks import SLOTS, Mark
from app.review.schedule import Ground, rules_of
from app.review.testmap import WEEKDAYS, MapOfTests
from app.statistics.schedule.expand import occurrences_of

LOOKED_AHEAD = 28  # days: whole weeks, so that each day of the week comes as often


@dataclass(frozen=True, slots=True)
class PlanGaps:
    """How often the plan asks in each slot from Monday to Sunday, and what it never asks.

    `period` is what was looked at; `counts` are planned tests by slot, as `MapOfTests` counts
    those that were done. `never` are the slots it asks nothing in, `off_days` the days of the week
    (Monday 0) that it leaves out of a slot; `unseen` says in sentences what it can't see.
    """

    period: Period
    counts: dict[Mark, tuple[int, ...]]
    never: tuple[Mark, ...]
    off_days: tuple[tuple[Mark, tuple[int, ...]], ...]
    unseen: tuple[str, ...]


def gaps_of(ground: Ground, first: date, *, tests: MapOfTests | None = None) -> PlanGaps | None:
    """The blind spots of what is planned from a day on; None where nothing is planned.

    Parameters
    ----------
    tests : MapOfTests, optional
        What was tested so far: a slot outside the plan can be tested all the same, and then its
        count is told.
    """
    day = first.toordinal()
    plans = [plan for plan in ground.plans if plan.to_day is None or plan.to_day >= day]
    if not plans:
        return None
    ends = [plan.to_day for plan in plans]
    last = day + LOOKED_AHEAD - 1
    known = [end for end in ends if end is not None]
    if len(known) == len(ends):  # nothing is planned beyond the last of them
        last = min(last, max(known))
    rules = [each.rule for each in rules_of(ground) if each.plan in plans]
    counts = {slot: [0] * len(WEEKDAYS) for slot in SLOTS}
    for each in occurrences_of(rules, day, last, places=ground.places):
        label = each.rule.label
        if label is not None and label < len(SLOTS):
            counts[SLOTS[label]][each.wall.weekday()] += 1
    held = {slot: tuple(found) for slot, found in counts.items()}
    period = Period(first, first + timedelta(days=last - day))
    never = tuple(slot for slot, found in held.items() if not any(found))
    off_days = _off_days(held, period)
    unseen = tuple(_sentences(never, off_days, tests))
    return PlanGaps(period, held, never, off_days, unseen)


def _off_days(
    counts: dict[Mark, tuple[int, ...]], period: Period
) -> tuple[tuple[Mark, tuple[int, ...]], ...]:
    there = {(period.first + timedelta(days=each)).weekday() for each in range(period.days)}
    off = {slot: tuple(day for day in sorted(there) if not n[day]) for slot, n in counts.items()}
    return tuple((slot, days) for slot, days in off.items() if days and any(counts[slot]))


def _sentences(
    never: tuple[Mark, ...],
    off_days: tuple[tuple[Mark, tuple[int, ...]], ...],
    tests: MapOfTests | None,
) -> list[str]:
    said = []
    if len(never) == len(SLOTS):
        return ["the plan names no slot: what it sees depends on when the tests are done"]
    for slot in never:
        unseen = "lows" if slot is Mark.NIGHT else "lows and highs"
        done = tests.row(slot).n if tests else 0
        if tests and done:
            often = "once" if done == 1 else f"{done} times"
            days = tests.period.days
            said.append(f"{slot.words}: not in the plan; tested {often} in {days} days")
        else:
            said.append(f"{slot.words}: not in the plan; {unseen} there would not be seen")
    for slot, off in off_days:
        said.append(f"{slot.words}: never on {', '.join(WEEKDAYS[day] for day in off)}")
    return said
