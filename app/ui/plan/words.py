"""What the Plan page says: states, times and repeats as the person reads them."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from PySide6.QtCore import QCoreApplication, QLocale

from app.domain.person import Person
from app.domain.plans import FREE_DAYS, SCHOOL_DAYS, Plan, PlanRule
from app.review.plan_kept import Count
from app.review.schedule import Planned
from app.statistics.schedule.settle import DOUBLED, ELSEWHERE, SKIPPED, State
from app.ui.reading_words import mark_name
from app.ui.words import clock_words, count_words, date_words, day_words, joined

_CODES = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
_SHOWN_DATES = 4
_WHY = {
    SKIPPED: "put aside",
    DOUBLED: "asked for elsewhere: by another plan, or after a meal that began",
    "away": "not expected: away",
    "journey": "not expected: on a journey",
    "sick": "not expected: sick days",
    "paused": "not expected: the plan is paused",
}


def tr(text: str) -> str:
    """Translate a text of the Plan page."""
    return QCoreApplication.translate("Plan", text)


def many(count: int, one: str, more: str, **rest: str) -> str:
    """A sentence for one or for more, its `{n}` and the other places filled."""
    return tr(one if count == 1 else more).format(n=count_words(count), **rest)


def test_name(planned: Planned) -> str:
    """What is to be tested: the person's own words, else the mark."""
    if planned.rule is not None:
        return rule_name(planned.rule)
    mark = mark_name(planned.mark) if planned.mark else tr("test")
    return tr("{mark}, the meal has begun").format(mark=mark)


def rule_name(rule: PlanRule) -> str:
    """What a rule is for: the person's own words, else its mark."""
    return rule.text or (mark_name(rule.mark) if rule.mark else tr("test, no mark"))


def state_text(planned: Planned, person: Person) -> str:
    """What became of a planned test: "done 07:12"."""
    settled = planned.settled
    if settled.reading is not None:
        at = clock_words(planned.wall + timedelta(minutes=settled.late or 0), person)
        said = tr("done late, {at}") if settled.state is State.DONE_LATE else tr("done {at}")
        return said.format(at=at)
    if settled.why == ELSEWHERE:
        return tr("done elsewhere, not written here")
    if settled.state is State.NOT_EXPECTED:
        return tr(_WHY.get(settled.why or "", "not expected"))
    if settled.state is State.DUE:
        return tr("due, its time is over") if settled.is_overdue else tr("due")
    return {
        State.UPCOMING: tr("to come"),
        State.MISSED: tr("planned, nothing written"),
    }[settled.state]


def hour_text(planned: Planned, really: datetime, person: Person) -> str:
    """Where the clocks skip or repeat the hour of a test, what that means; else nothing."""
    hour, at = planned.settled.occurrence.hour, clock_words(planned.wall, person)
    if hour == "skipped":
        there = clock_words(really, person)
        return tr("The clocks skip {at}; it is asked once, at {there}.").format(at=at, there=there)
    if hour == "repeated":
        return tr("{at} comes twice; the first one is meant.").format(at=at)
    return ""


def count_text(count: Count | None, *, to_come: bool = False) -> str:
    """Kept of planned, "41 of 56"; where nothing was planned, that, or what is still `to_come`."""
    if count is None and to_come:
        return tr("still open")
    if count is None or not count.planned:
        return tr("not planned") if count is None else ""
    return of_text(count)


def of_text(count: Count) -> str:
    """Kept of planned, "41 of 56"."""
    return tr("{kept} of {planned}").format(
        kept=count_words(count.kept), planned=count_words(count.planned)
    )


def weekday_name(day: int, *, full: bool = False) -> str:
    """The name of a day of the week, Monday 0."""
    size = QLocale.FormatType.LongFormat if full else QLocale.FormatType.ShortFormat
    return QLocale().standaloneDayName(day + 1, size)


def time_text(rule: PlanRule, person: Person) -> str:
    """When in the day: a time, or the usual time of a mark and the minutes after it."""
    at = clock_words(rule.start, person)
    if rule.relative_to is None:
        return f"{at} ({rule.zone})" if rule.zone else at
    if rule.offset_min == 0:
        return tr("at its usual time, else {at}").format(at=at)
    said = (
        tr("{n} min after the usual time of {mark}, else {at}")
        if rule.offset_min > 0
        else tr("{n} min before the usual time of {mark}, else {at}")
    )
    return said.format(n=count_words(abs(rule.offset_min)), mark=mark_name(rule.relative_to), at=at)


def repeats_text(rule: PlanRule, today: date, person: Person) -> str:
    """How a test repeats: "every day", "Tue, Thu, on school days"."""
    if rule.dates:
        said = _dates_text(rule, today, person)
    elif rule.rrule is None:
        day = date_words(rule.start.date(), today, person)
        said = tr("once, on {day}").format(day=day)
    else:
        said = _rule_text(rule.rrule, today, person)
    school = {
        SCHOOL_DAYS: tr("on school days"),
        FREE_DAYS: tr("on days without school"),
    }.get(rule.school, "")
    return ", ".join(part for part in (said, school) if part)


def _dates_text(rule: PlanRule, today: date, person: Person) -> str:
    days = [
        date_words(date.fromisoformat(each[:8]), today, person)
        for each in rule.dates[:_SHOWN_DATES]
    ]
    more = len(rule.dates) - _SHOWN_DATES
    if more > 0:
        days.append(many(more, "{n} more day", "{n} more days"))
    return tr("on {days}").format(days=", ".join(days))


def _rule_text(rrule: str, today: date, person: Person) -> str:
    parts = dict(each.split("=", 1) for each in rrule.split(";") if "=" in each)
    days = [each for each in parts.get("BYDAY", "").split(",") if each]
    known = {"FREQ", "INTERVAL", "COUNT", "UNTIL", "BYDAY", "WKST"}
    plain = parts.get("FREQ") in ("DAILY", "WEEKLY") and not set(parts) - known
    if not plain or any(day not in _CODES for day in days):
        return tr("by the rule {rule}").format(rule=rrule)
    every, step = parts["FREQ"], int(parts.get("INTERVAL", "1"))
    said = {
        "DAILY": many(step, "every day", "every {n} days"),
        "WEEKLY": many(step, "every week", "every {n} weeks"),
    }[every]
    if days:
        named = ", ".join(weekday_name(_CODES.index(day)) for day in days)
        said = named if step == 1 else tr("{every} on {days}").format(every=said, days=named)
    if "COUNT" in parts:
        said += ", " + many(int(parts["COUNT"]), "{n} time", "{n} times")
    if "UNTIL" in parts:
        last = date_words(date.fromisoformat(parts["UNTIL"][:8]), today, person)
        said = tr("{every}, until {day}").format(every=said, day=last)
    return said


def version_text(plan: Plan, person: Person) -> str:
    """A version in one line: its name, and the days in which it is in force."""
    first = day_words(date.fromordinal(plan.from_day), person.date_order)
    if plan.to_day is None:
        return tr("{plan}, in force since {day}").format(plan=plan.name, day=first)
    last = day_words(date.fromordinal(plan.to_day), person.date_order)
    return tr("{plan}, {first} to {last}").format(plan=plan.name, first=first, last=last)


def planned_line(planned: Planned, today: date, person: Person) -> str:
    """A planned test and what became of it, in one plain line."""
    wall = planned.wall
    when = f"{date_words(wall.date(), today, person)} {clock_words(wall, person)}"
    return joined((when, test_name(planned), state_text(planned, person)))
