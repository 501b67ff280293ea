"""What a person wants to be reminded of, and what became of each thing that was due."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any
from uuid import UUID

from app.domain.follow_ups import DueState, FollowRule
from app.domain.person import Person
from app.store import schema
from app.store.connection import rows_of
from app.store.diary import Diary

if TYPE_CHECKING:
    from app.store.journal import Change

_RULES = "SELECT * FROM follow_rule WHERE person_id = ? AND deleted_at IS NULL ORDER BY id"
_STATES = (
    "SELECT * FROM due_state WHERE person_id = ? AND deleted_at IS NULL"
    " AND max(ifnull(shown_at, 0), ifnull(snoozed_to, 0), ifnull(closed_at, 0)) >= ?"
)
_HELD = "SELECT * FROM due_state WHERE person_id = ? AND key = ? AND deleted_at IS NULL"
_KIND = "SELECT * FROM follow_rule WHERE person_id = ? AND kind = ? AND deleted_at IS NULL"
_UIDS = "SELECT id, uid FROM reading WHERE id IN ({})"


def follow_rules_of(diary: Diary, person: Person) -> tuple[FollowRule, ...]:
    """The choices that a person made about follow-ups."""
    with diary.driver() as driver:
        rows = rows_of(driver, _RULES, (person.id,))
    return tuple(
        FollowRule(row["kind"], bool(row["is_on"]), row["minutes"], _limits(row["limits"]))
        for row in rows
    )


def due_states_of(diary: Diary, person: Person, *, since: int = 0) -> dict[str, DueState]:
    """What became of what was due, by key; of those touched since an instant (UTC seconds)."""
    with diary.driver() as driver:
        rows = rows_of(driver, _STATES, (person.id, since))
    return {
        row["key"]: DueState(
            row["key"], row["shown_at"], row["snoozed_to"], row["closed_at"], row["how"]
        )
        for row in rows
    }


def reading_uids(diary: Diary, ids: Iterable[int]) -> dict[int, UUID]:
    """The uids of readings by their local ids."""
    wanted = sorted(set(ids))
    if not wanted:
        return {}
    with diary.driver() as driver:
        rows = rows_of(driver, _UIDS.format(", ".join("?" * len(wanted))), tuple(wanted))
    return {row["id"]: UUID(bytes=row["uid"]) for row in rows}


def write_follow_rule(change: Change, person: Person, rule: FollowRule) -> None:
    """Write a choice in place of the one before."""
    limits = json.dumps(dict(rule.limits)) if rule.limits else None
    fields: dict[str, Any] = {"is_on": int(rule.on), "minutes": rule.minutes, "limits": limits}
    held = change.connection.exec_driver_sql(_KIND, (person.id, rule.kind)).mappings().first()
    if held is None:
        change.add(schema.follow_rule, person_id=person.id, kind=rule.kind, **fields)
    else:
        change.edit(schema.follow_rule, held["id"], before=held, **fields)


def write_due_state(change: Change, person: Person, key: str, **fields: Any) -> None:
    """Write what became of something that was due: fields of its one row, others stay."""
    held = change.connection.exec_driver_sql(_HELD, (person.id, key)).mappings().first()
    if held is None:
        change.add(schema.due_state, person_id=person.id, key=key, **fields)
    else:
        change.edit(schema.due_state, held["id"], before=held, **fields)


def _limits(text: str | None) -> dict[str, Any]:
    """Limits as kept; another form, of a newer program, says nothing here."""
    try:
        held = json.loads(text) if text else {}
        above = held.get("above")
        if above is not None and not (above["mg"] > 0 and above["mmol"] > 0):
            return {}
        int(held.get("times", 1))
    except (ValueError, TypeError, KeyError, AttributeError):
        return {}
    return dict(held)
