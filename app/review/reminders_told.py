"""Follow-ups as lines of text and as plain JSON values."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from typing import Any

from app.domain.follow_ups import KIT, LOW_CAUTION
from app.review.reminders import Reminder
from app.statistics.schedule.settle import State


def open_follow_ups(reminders: Sequence[Reminder]) -> Iterator[Reminder]:
    """Those that are due or to come, and were neither put away nor, for a caution, shown."""
    for each in reminders:
        seen_once = each.due.shown and not _is_told(each)  # of a caution alone
        is_open = _state(each) in (State.UPCOMING, State.DUE) and not each.due.closed
        if is_open and not seen_once:
            yield each


def follow_up_lines(reminders: Sequence[Reminder]) -> Iterator[str]:
    """What follows from what was entered: due first with its words, then to come, then past."""
    care = []
    for each in open_follow_ups(reminders):
        found = each.follow_up
        if found is None:
            continue
        if found.kind == KIT:
            yield f"  {'kit':>5}  {each.title}"
            yield from (f"         {line}" for line in found.says)
            continue
        if found.state is State.UPCOMING:
            yield f"  {each.wall:%H:%M}  {each.name}, to come"
            continue
        yield f"  {each.wall:%H:%M}  {found.title}"
        yield from (f"         {line}" for line in found.says)
        care.append(found.care_team_line)
    for each in reminders:
        if _state(each) is State.MISSED and not each.due.closed and _is_told(each):
            day = f"{each.wall:%Y-%m-%d %H:%M}"
            yield f"  {each.name}: it was due at {day}, nothing is written."
    yield from dict.fromkeys(care)


def follow_ups_as_json(reminders: Sequence[Reminder]) -> list[dict[str, Any]]:
    """Every follow-up of around now by name, with what became of it."""
    found = []
    for each in reminders:
        if each.follow_up is None:
            continue
        told = each.follow_up
        found.append(
            {
                "key": told.key,
                "kind": told.kind,
                "name": each.name,
                "wall": told.wall.isoformat(timespec="minutes"),
                "utc": f"{datetime.fromtimestamp(told.at, UTC):%Y-%m-%dT%H:%M:%SZ}",
                "day": None if told.day is None else told.day.isoformat(),
                "state": told.state.value,
                "urgent": told.urgent,
                "closed": each.due.closed,
                "shown": each.due.shown,
                "title": told.title,
                "says": list(told.says),
                "care_team": told.care_team_line,
                "source": told.source,
            }
        )
    return found


def _state(reminder: Reminder) -> State | None:
    return None if reminder.follow_up is None else reminder.follow_up.state


def _is_told(reminder: Reminder) -> bool:
    """A caution asks for no test, so nothing of it can be missed."""
    return reminder.follow_up is not None and reminder.follow_up.kind != LOW_CAUTION
