"""The plan as a calendar takes it: each rule with its first time, its end and what is left out."""

from __future__ import annotations

from datetime import date, datetime

from app.domain.plans import ANY_DAY, Plan, PlanRule
from app.exchange.icalendar_out import CalendarTest
from app.review.schedule import Ground, not_expected_by, rules_of
from app.statistics.schedule.expand import occurrences_of
from app.statistics.schedule.rule import Occurrence
from app.statistics.schedule.settle import State, settle
from app.store.diary import Diary
from app.store.plans import newest_change, rules_gone

# What no rule says (school days, days away) is written out so many days ahead.
WRITTEN_AHEAD = 366


def calendar_of(diary: Diary, ground: Ground, *, from_day: date) -> tuple[CalendarTest, ...]:
    """Every rule of every version for a calendar file; those that ended say so.

    A calendar that was given an earlier file learns from it where an older version ends. Empty
    where nothing is in force on that day or later.
    """
    day = from_day.toordinal()
    if not any(plan.to_day is None or plan.to_day >= day for plan in ground.plans):
        return ()
    sequence = newest_change(diary, ground.person)
    open_end = min(
        (
            span.first_day
            for span in ground.spans
            if span.last_day is None and span.kind in ("paused", "away", "sick", "journey")
        ),
        default=None,
    )
    first = min(plan.from_day for plan in ground.plans)
    sources = [each for each in rules_of(ground) if each.plan is not None]
    found = occurrences_of(
        [each.rule for each in sources], first, day + WRITTEN_AHEAD, places=ground.places
    )
    settled = settle(found, [], [], now=0, not_expected=not_expected_by(ground.spans))
    of_rule: dict[int, list[tuple[Occurrence, bool]]] = {}
    for each in settled:
        expected = each.state not in (State.NOT_EXPECTED, State.DONE)
        of_rule.setdefault(id(each.occurrence.rule), []).append((each.occurrence, expected))
    tests = [
        _test(source.plan, source.kept, of_rule.get(id(source.rule), []), sequence, open_end)
        for source in sources
        if source.plan is not None and source.kept is not None
    ]
    gone = [
        CalendarTest(uid, sequence, start, None, None, (), (), "test", zone, is_gone=True)
        for uid, start, zone in rules_gone(diary, ground.person)
    ]
    return (*(each for each in tests if each is not None), *gone)


def _test(
    plan: Plan,
    rule: PlanRule,
    found: list[tuple[Occurrence, bool]],
    sequence: int,
    open_end: int | None,
) -> CalendarTest | None:
    if rule.uid is None or not found:
        return None
    kept = [one for one, expected in found if expected]
    ends = plan.to_day
    if open_end is not None:  # days that go on: the test ends for now, a later file says more
        ends = open_end - 1 if ends is None else min(ends, open_end - 1)
        kept = [one for one in kept if one.wall.toordinal() <= ends]
    if not kept:
        start = found[0][0].planned
        return CalendarTest(
            rule.uid, sequence, start, None, None, (), (), rule.words, rule.zone, is_gone=True
        )
    parts = dict(each.split("=", 1) for each in (rule.rrule or "").split(";") if "=" in each)
    if rule.rrule is None or rule.school != ANY_DAY or "COUNT" in parts:
        walls = [one.wall for one in kept]
        return CalendarTest(
            uid=rule.uid,
            sequence=sequence,
            start=walls[0],
            recurs=None,
            last=None,
            left_out=(),
            added=tuple(walls[1:]),
            words=rule.words,
            zone=rule.zone,
        )
    # The first time belongs to a calendar's series whatever its rule says; so it is one of it.
    planned = [one.planned for one, _ in found]
    start = planned[0]
    clock = _newest_clock(found, start)
    expected = {one.planned for one in kept if one.wall == one.planned}
    left_out = [each for each in planned if each not in expected and _within(each, ends)]
    return CalendarTest(
        uid=rule.uid,
        sequence=sequence,
        start=clock,
        recurs=rule.rrule,
        last=_last(planned, ends, parts),
        left_out=tuple(each.replace(hour=clock.hour, minute=clock.minute) for each in left_out),
        added=tuple(one.wall for one in kept if one.wall != one.planned),
        words=rule.words,
        zone=rule.zone,
    )


def _newest_clock(found: list[tuple[Occurrence, bool]], start: datetime) -> datetime:
    """The first time of a test of days, at the hour that holds by now; as it is in a rule of hours.

    A usual time that changed is the same series at another hour: what is past needs no alarm.
    """
    rule = found[0][0].rule
    if not rule.minutes:
        return start
    last = found[-1][0].planned
    return start.replace(hour=last.hour, minute=last.minute)


def _within(wall: datetime, ends: int | None) -> bool:
    return ends is None or wall.toordinal() <= ends


def _last(planned: list[datetime], ends: int | None, parts: dict[str, str]) -> datetime | None:
    if ends is None and "UNTIL" not in parts:
        return None
    if ends is None:
        return datetime.fromisoformat(parts["UNTIL"])
    return max((each for each in planned if each.toordinal() <= ends), default=planned[0])
