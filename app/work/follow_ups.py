"""What a person does with something that is due, and with what makes it due.

Each is one transaction with one entry in the journal. That something was shown is written down too,
so that it is never shown twice; an undo steps over that, since nobody did it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from app.domain.errors import Refused
from app.domain.follow_ups import (
    CHOICES,
    CLOSED,
    ELSEWHERE,
    FollowRule,
    checked_rule,
    follow_rule,
    rule_name,
)
from app.domain.person import Person
from app.store.diary import Diary
from app.store.follow_ups import (
    due_states_of,
    follow_rules_of,
    write_due_state,
    write_follow_rule,
)
from app.store.history import DUE_SHOWN
from app.work.told import told

DUE_SNOOZED, DUE_CLOSED, DUE_OPENED = "due_snoozed", "due_closed", "due_opened"
FOLLOW_SET = "follow_set"


def note_shown(diary: Diary, person: Person, keys: Iterable[str], *, now: datetime) -> int:
    """Write down that reminders were shown; returns how many had not been before."""
    held = due_states_of(diary, person)
    new = [key for key in dict.fromkeys(keys) if not _was_shown(held, key)]
    if not new:
        return 0
    with diary.change(DUE_SHOWN, {"count": len(new)}, now=now, person=person) as change:
        for key in new:
            before = held.get(key)
            at = max(change.at, (before.snoozed_to or 0) if before else 0)
            write_due_state(change, person, key, shown_at=at)
    return len(new)


def snooze(
    diary: Diary, person: Person, key: str, what: str, *, until: datetime, now: datetime
) -> str:
    """Remind of something again at a later time; returns the sentence about it.

    Raises
    ------
    Refused
        The time has passed already. Nothing was changed.
    """
    if until <= now:
        raise Refused("That time has passed already. Nothing was changed; give a later one.")
    words = {"what": what, "minutes": round((until - now).total_seconds() / 60)}
    with diary.change(DUE_SNOOZED, words, now=now, person=person) as change:
        write_due_state(
            change, person, key, snoozed_to=int(until.timestamp()), closed_at=None, how=None
        )
    return told(DUE_SNOOZED, words)


def close_due(
    diary: Diary, person: Person, key: str, what: str, *, now: datetime, how: str = CLOSED
) -> str:
    """Put something that is due away, or say that it was done elsewhere; returns the sentence."""
    if how not in (CLOSED, ELSEWHERE):
        raise ValueError(f"closed or elsewhere, not {how}")
    words = {"what": what, "how": how}
    with diary.change(DUE_CLOSED, words, now=now, person=person) as change:
        write_due_state(change, person, key, closed_at=change.at, how=how)
    return told(DUE_CLOSED, words)


def open_again(diary: Diary, person: Person, key: str, what: str, *, now: datetime) -> str:
    """Let something that was put away be due again; returns the sentence about it.

    Raises
    ------
    Refused
        It was not put away. Nothing was changed.
    """
    held = due_states_of(diary, person).get(key)
    if held is None or held.closed_at is None:
        raise Refused("That was not put away. Nothing was changed.")
    words = {"what": what}
    with diary.change(DUE_OPENED, words, now=now, person=person) as change:
        write_due_state(change, person, key, closed_at=None, how=None)
    return told(DUE_OPENED, words)


def set_follow_rule(
    diary: Diary,
    person: Person,
    kind: str,
    *,
    now: datetime,
    on: bool | None = None,
    minutes: int | None = None,
    limits: Mapping[str, Any] | None = None,
) -> FollowRule:
    """Switch a kind of follow-up on or off, or change its minutes or limits; the rest stays.

    Raises
    ------
    Refused
        The kind is unknown, minutes or limits make no sense, or it is so already. Nothing was
        changed.
    """
    before = follow_rule(follow_rules_of(diary, person), kind)
    rule = checked_rule(
        replace(
            before,
            on=before.on if on is None else on,
            minutes=before.minutes if minutes is None else minutes,
            limits=before.limits if limits is None else dict(limits),
        )
    )
    if rule == before:
        raise Refused("It is so already; nothing was changed.")
    words = {"what": rule_name(kind), "on": rule.on, "minutes": rule.minutes}
    with diary.change(FOLLOW_SET, words, now=now, person=person) as change:
        write_follow_rule(change, person, rule)
    return rule


def set_all_follow_rules(diary: Diary, person: Person, *, on: bool, now: datetime) -> str:
    """Switch every kind of follow-up on or off in one step; minutes and limits stay.

    It is kept for each kind even where nothing is other than before: the person has chosen now.
    Returns the sentence about it.
    """
    held = follow_rules_of(diary, person)
    words = {"what": "all of them", "on": on, "minutes": None}
    with diary.change(FOLLOW_SET, words, now=now, person=person) as change:
        for kind in CHOICES:
            write_follow_rule(change, person, replace(follow_rule(held, kind), on=on))
    return told(FOLLOW_SET, words)


def _was_shown(held: Mapping[str, Any], key: str) -> bool:
    state = held.get(key)
    return (
        state is not None
        and state.shown_at is not None
        and (state.snoozed_to is None or state.shown_at >= state.snoozed_to)
    )
