"""What is planned, in words: how a test repeats, and what became of it."""

from __future__ import annotations

from datetime import date, datetime

from app.domain.plans import FREE_DAYS, SCHOOL_DAYS, Plan, PlanRule
from app.review.schedule import Planned
from app.statistics.schedule.settle import DOUBLED, ELSEWHERE, SKIPPED, State

_WEEKDAYS = {
    "MO": "Mon",
    "TU": "Tue",
    "WE": "Wed",
    "TH": "Thu",
    "FR": "Fri",
    "SA": "Sat",
    "SU": "Sun",
}
_UNITS = {
    "DAILY": ("every day", "days"),
    "WEEKLY": ("every week", "weeks"),
    "MONTHLY": ("every month", "months"),
    "YEARLY": ("every year", "years"),
    "HOURLY": ("every hour", "hours"),
    "MINUTELY": ("every minute", "minutes"),
}
NOTHING_WRITTEN = "planned, nothing written"
_WHY = {
    SKIPPED: "put aside",
    DOUBLED: "asked for elsewhere: by a newer plan, or after a meal that began",
    "away": "not expected: away",
    "journey": "not expected: on a journey",
    "sick": "not expected: sick days",
    "paused": "not expected: the plan is paused",
}
_SHOWN_DATES = 6


def repeats_words(rule: PlanRule) -> str:
    """How a test repeats: "every day", "Tue, Thu", "every 3 days, on school days"."""
    said = [_dates_words(rule) if rule.dates else _rule_words(rule.rrule or "")]
    if rule.rrule is None and not rule.dates:
        said = [f"once, on {rule.start:%Y-%m-%d}"]
    if rule.school == SCHOOL_DAYS:
        said.append("on school days")
    elif rule.school == FREE_DAYS:
        said.append("on days without school")
    return ", ".join(said)


def time_words(rule: PlanRule) -> str:
    """When in the day: a time, or the usual time of a mark with the minutes after it."""
    clock = f"{rule.start:%H:%M}"
    if rule.relative_to is None:
        return f"{clock} ({rule.zone})" if rule.zone else clock
    usual = f"usual time of {rule.relative_to.words}"
    if rule.offset_min == 0:
        return f"{usual}, else {clock}"
    side = "after" if rule.offset_min > 0 else "before"
    return f"{abs(rule.offset_min)} min {side} the {usual}, else {clock}"


def plan_words(plan: Plan) -> str:
    """A version in one line: its name and the days in which it is in force."""
    since = date.fromordinal(plan.from_day)
    until = "" if plan.to_day is None else f" to {date.fromordinal(plan.to_day)}"
    return f"{plan.name}, in force from {since}{until or ' on'}"


def state_words(planned: Planned) -> str:
    """What became of a planned test: "done 07:10", "due", "planned, nothing written"."""
    settled = planned.settled
    if settled.why == ELSEWHERE:
        return "done elsewhere, not written here"
    if settled.state is State.NOT_EXPECTED:
        return _WHY.get(settled.why or "", f"not expected: {settled.why}")
    if settled.state is State.DONE_LATE:
        return f"done late, {settled.late} min after its time"
    if settled.state is State.DUE:
        return "due, its time is over" if settled.is_overdue else "due"
    return {
        State.UPCOMING: "to come",
        State.DONE: "done",
        State.MISSED: NOTHING_WRITTEN,
    }[settled.state]


def hour_words(planned: Planned, really: datetime) -> str | None:
    """A sentence where the clocks skip or repeat the hour of a test; `really` is when it is due."""
    hour = planned.settled.occurrence.hour
    if hour == "skipped":
        return f"The clocks skip {planned.wall:%H:%M}; it is asked once, at {really:%H:%M}."
    if hour == "repeated":
        return f"{planned.wall:%H:%M} comes twice; the first one is meant."
    return None


def _dates_words(rule: PlanRule) -> str:
    days = [str(date.fromisoformat(each[:8])) for each in rule.dates]
    more = len(days) - _SHOWN_DATES
    return f"on {', '.join(days[:_SHOWN_DATES])}" + (f" and {more} more days" if more > 0 else "")


def _rule_words(rrule: str) -> str:
    parts = dict(each.split("=", 1) for each in rrule.split(";") if "=" in each)
    known = {"FREQ", "INTERVAL", "COUNT", "UNTIL", "BYDAY", "WKST"}
    days = [_WEEKDAYS.get(each) for each in parts.get("BYDAY", "").split(",") if each]
    frequency = parts.get("FREQ", "")
    if set(parts) - known or None in days or frequency not in _UNITS:
        return f"by the rule {rrule}"  # its own words say it better than a guess
    interval = int(parts.get("INTERVAL", "1"))
    one, many = _UNITS[frequency]
    every = one if interval == 1 else f"every {interval} {many}"
    on = ", ".join(day for day in days if day)
    if on:
        every = on if frequency in ("WEEKLY", "DAILY") and interval == 1 else f"{every} on {on}"
    if "COUNT" in parts:
        every += f", {parts['COUNT']} times"
    if "UNTIL" in parts:
        every += f", until {date.fromisoformat(parts['UNTIL'][:8])}"
    return every
