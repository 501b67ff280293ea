"""What can be reminded of, planned tests and follow-ups alike, and how it is said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from app.domain.clock import Period
from app.domain.follow_ups import (
    AFTER_MEAL,
    LOW_AGAIN,
    LOW_CAUTION,
    LOW_HELP,
    LOW_LATER,
    LOW_RECHECK,
    NO_MINUTE,
    DueState,
    KitDue,
    ReminderWishes,
    follow_rule,
    rule_name,
)
from app.domain.person import Person
from app.review.follow_up import FollowUp
from app.review.follow_ups import follow_ups_of
from app.review.plan import today_there
from app.review.record import Record
from app.review.schedule import Ground, Planned, planned_in
from app.statistics.schedule.remind import Due, Missed
from app.statistics.schedule.settle import OPEN, State
from app.statistics.schedule.walls import wall_at, zone_at
from app.store.diary import Diary
from app.store.follow_ups import due_states_of, follow_rules_of
from app.store.settings import REMINDERS, setting_of

# Whoever has just written a low is awake: quiet hours don't silence what belongs to it.
_PIERCING = (LOW_CAUTION, LOW_RECHECK, LOW_AGAIN, LOW_HELP, LOW_LATER)
_RECHECKS = (LOW_RECHECK, LOW_AGAIN)
_TEST_IS_DUE = "A test is due."
_STATES_SINCE = 400 * 86_400  # what is due about the kit may have been put away long ago


@dataclass(frozen=True, slots=True)
class Reminder:
    """One thing to be reminded of: `due` is what the engine takes, the rest what is said.

    `name` says in a few words what it is, with no value in it; `title` may hold one.
    """

    due: Due
    name: str
    title: str
    lines: tuple[str, ...]
    discreet: str
    wall: datetime
    urgent: bool = False
    planned: Planned | None = None
    follow_up: FollowUp | None = None


@dataclass(frozen=True, slots=True)
class Reminders:
    """Everything of about yesterday to tomorrow that a person can be reminded of, by time."""

    items: tuple[Reminder, ...]
    wishes: ReminderWishes
    ground: Ground

    @property
    def dues(self) -> tuple[Due, ...]:
        """What the engine takes."""
        return tuple(each.due for each in self.items)

    def by_key(self, key: str) -> Reminder:
        """The reminder of a key; raises KeyError for one that is not there."""
        for each in self.items:
            if each.due.key == key:
                return each
        raise KeyError(key)

    def is_quiet(self, instant: int) -> bool:
        """Whether an instant lies in the person's quiet hours, by the clocks of the place."""
        if self.wishes.quiet is None:
            return False
        begins, ends = self.wishes.quiet
        wall = wall_at(instant, zone_at(instant, self.ground.places))
        minute = wall.hour * 60 + wall.minute
        inside = (minute >= begins, minute < ends)
        return all(inside) if begins < ends else any(inside)


def reminders_of(
    diary: Diary,
    record: Record,
    ground: Ground,
    *,
    now: datetime,
    kit: Sequence[KitDue] = (),
    as_of: bool = False,
) -> Reminders:
    """Load everything that a person can be reminded of around now, with what became of it.

    `as_of` says that `now` is a time that is asked about, at which nothing later was known.
    """
    person = record.person
    today = today_there(ground, now)
    period = Period(today - timedelta(days=1), today + timedelta(days=1))
    states = due_states_of(diary, person, since=int(now.timestamp()) - _STATES_SINCE)
    wants_meals = follow_rule(follow_rules_of(diary, person), AFTER_MEAL).on
    items = [
        _planned(each, states)
        for each in planned_in(record, ground, period, now=now)
        if each.settled.state is not State.NOT_EXPECTED and (each.plan is not None or wants_meals)
    ]
    items += [
        _follow_up(each, states)
        for each in follow_ups_of(diary, record, ground, now=now, kit=kit, as_of=as_of)
    ]
    items.sort(key=lambda each: (each.due.at, each.due.key))
    return Reminders(tuple(items), reminder_wishes(diary, person), ground)


def reminder_wishes(diary: Diary, person: Person) -> ReminderWishes:
    """How a person wants to be reminded; the usual way where nothing was said."""
    held: Any = setting_of(diary, person, REMINDERS)
    usual = ReminderWishes()
    if not isinstance(held, dict):
        return usual
    return ReminderWishes(
        quiet=_hours(held.get("quiet")),
        with_values=bool(held.get("values", usual.with_values)),
        beep=bool(held.get("beep", usual.beep)),
        tray=bool(held.get("tray", usual.tray)),
    )


def _hours(held: Any) -> tuple[int, int] | None:
    """Quiet hours as kept; another form, of a newer program, says nothing here."""
    if not isinstance(held, list) or len(held) != 2 or held[0] == held[1]:
        return None
    whole = all(isinstance(each, int) and 0 <= each < 1440 for each in held)
    return (held[0], held[1]) if whole else None


def said_words(reminder: Reminder, wishes: ReminderWishes, *, was_due: bool) -> str:
    """What a notification says: one line; with the time where it was due before."""
    text = reminder.title if wishes.with_values else reminder.discreet
    followed = reminder.follow_up
    if not was_due or (followed is not None and followed.kind in NO_MINUTE):
        return text
    return f"{text.removesuffix('.')}. It was due at {reminder.wall:%H:%M}."


def missed_words(reminders: Reminders, missed: Missed) -> str:
    """What was missed while nobody looked, as past: one line for a rule and a day."""
    these = [reminders.by_key(key) for key in missed.keys]
    times = [f"{each.wall:%H:%M}" for each in these]
    when = f"{', '.join(times[:-1])} and {times[-1]}" if len(times) > 1 else times[0]
    day = date.fromordinal(missed.day)
    first = these[0]
    if first.follow_up is not None and first.follow_up.kind in (LOW_CAUTION, LOW_HELP):
        what = first.title if reminders.wishes.with_values else first.discreet
        return f"{day:%a} {day.day} {day:%b}: {what}"
    verb = "was due" if len(times) == 1 else "were due"
    return f"{day:%a} {day.day} {day:%b}: {first.name} {verb} at {when}; nothing is written."


def _planned(planned: Planned, states: dict[str, DueState]) -> Reminder:
    settled = planned.settled
    each = settled.occurrence
    rule = str(planned.rule.uid) if planned.rule else "after-meal"
    return Reminder(
        due=_due(
            planned.key,
            rule,
            planned.wall,
            (each.instant, each.closes + 1, each.late_until),
            states.get(planned.key),
            done=settled.state not in (*OPEN, State.MISSED),
        ),
        name=planned.words,
        title=f"Test now: {planned.words}",
        lines=(),
        discreet=_TEST_IS_DUE,
        wall=planned.wall,
        planned=planned,
    )


def _follow_up(found: FollowUp, states: dict[str, DueState]) -> Reminder:
    kind = LOW_RECHECK if found.kind in _RECHECKS else found.kind
    return Reminder(
        due=_due(
            found.key,
            kind,
            found.wall,
            (found.at, found.over, found.until),
            states.get(found.key),
            done=found.state is State.DONE,
            pierces=found.kind in _PIERCING,
            timer=found.reading_id is not None,
        ),
        name=rule_name(kind),
        title=found.title,
        lines=found.lines[1:],
        discreet=found.discreet,
        wall=found.wall,
        urgent=found.urgent,
        follow_up=found,
    )


def _due(
    key: str,
    rule: str,
    wall: datetime,
    times: tuple[int, int, int | None],
    state: DueState | None,
    *,
    done: bool,
    pierces: bool = False,
    timer: bool = False,
) -> Due:
    held = state or DueState(key)
    snoozed = held.snoozed_to
    return Due(
        key=key,
        rule=rule,
        day=wall.toordinal(),
        at=times[0],
        over=times[1],
        until=times[2],
        shown=held.shown_at is not None and (snoozed is None or held.shown_at >= snoozed),
        snoozed_to=snoozed,
        closed=done or held.closed_at is not None,
        pierces=pierces,
        timer=timer,
    )
