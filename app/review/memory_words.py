"""The check of a meter's memory in sentences and as JSON."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

from app.review.memory_check import (
    NEVER,
    NO_WAY_BACK,
    WHY_KEPT,
    YES,
    MemoryChecked,
)
from app.statistics.memory_room import MemoryRoom
from app.store.backup_facts import local

_MISSING = {
    "capacity": "how many results its memory holds (kit meter edit NAME --capacity N)",
    "copy": "a copy of its memory (import FILE --meter NAME)",
    "pace": "a week of results before the copy",
}
BACK_UP = "no backup was checked since; make one with: thimblebook backup"


def answer_words(found: MemoryChecked, zone: str) -> str:
    """The answer in one or two sentences; times on the clocks of `zone`."""
    name, counts = found.meter.name, found.counts
    if found.copy is None:
        first = f"Not yet: no copy of the memory of {name} was brought in."
    elif counts is None:
        first = (
            f"Not yet: the copy of {name} was brought in before its records were listed. "
            "Bring the same file in again."
        )
    elif counts.not_copied:
        first = f"Not yet: {counts.not_copied} of {counts.total} not copied."
    elif found.backup is None:
        first = f"Not yet: all {counts.total} accounted for, but {BACK_UP}."
    else:
        at = wall_at(found.backup.verified_at or found.backup.at, zone)
        first = f"All {counts.total} accounted for; backup checked {at}."
    if found.answer == NEVER:
        return f"Do not clear {name}: {WHY_KEPT}. {first}"
    return f"{first} {NO_WAY_BACK}" if found.answer == YES else first


def copy_words(found: MemoryChecked, zone: str) -> str | None:
    """Of which copy the answer speaks, and what is not in it."""
    if found.copy is None:
        return None
    at = wall_at(datetime.fromtimestamp(found.copy.at, UTC), zone)
    return f"This speaks of {found.copy.name}, brought in {at}; what came after is not in it."


def gap_words(found: MemoryChecked, zone: str) -> str | None:
    """What the memory wrote over before it was copied."""
    if found.gap is None:
        return None
    first, last = (wall_at(datetime.fromtimestamp(at, UTC), zone) for at in found.gap)
    sure = "" if found.meter.capacity is not None else "may "
    verb = "be missing" if sure else "are missing"
    return (
        f"Results from {first} to {last} {sure}{verb}: this copy shares no record with earlier "
        "ones, and they can't be recovered from this meter."
    )


def room_words(room: MemoryRoom) -> str:
    """When the memory runs over, or what is missing to say so."""
    if room.missing:
        needs = " and ".join(_MISSING[each] for each in room.missing)
        return f"When it writes over what is not copied: unknown, for that needs {needs}."
    if room.full_day is None:
        return f"Nothing was measured in the {room.days} days before the copy; no pace to go by."
    day = date.fromordinal(room.full_day).isoformat()
    return (
        f"At {room.per_day:.1f} results a day (n {room.days} days) it begins to write over what "
        f"is not copied about {day}."
    )


def wall_at(at: datetime, zone: str) -> str:
    """A moment on the clocks of a zone: "2026-03-12 21:30"."""
    return f"{local(at, zone):%Y-%m-%d %H:%M}"


def memory_as_json(found: MemoryChecked, zone: str) -> dict[str, Any]:
    """The check as one JSON value; unknown counts and days are null."""
    counts, room, copy = found.counts, found.room, found.copy
    gap = found.gap
    return {
        "meter": found.meter.name,
        "answer": found.answer,
        "says": answer_words(found, zone),
        "keep_memory": found.meter.keep_memory,
        "copy": None
        if copy is None
        else {"file": copy.name, "at": _iso(copy.at), "listed": copy.listed, "seen": copy.total},
        "total": counts.total if counts else None,
        "mine": counts.mine if counts else None,
        "control": counts.control if counts else None,
        "not_mine": counts.not_mine if counts else None,
        "not_copied": counts.not_copied if counts else None,
        "missing": [
            {"line": each.line, "text": each.text, "why": each.why} for each in found.missing
        ],
        "backup": None
        if found.backup is None
        else {
            "file": found.backup.path.name,
            "checked_at": (found.backup.verified_at or found.backup.at).isoformat(),
        },
        "gap": None if gap is None else {"from": _iso(gap[0]), "to": _iso(gap[1])},
        "room": {
            "capacity": found.meter.capacity,
            "per_day": room.per_day,
            "days": room.days,
            "full": None if room.full_day is None else date.fromordinal(room.full_day).isoformat(),
            "missing": list(room.missing),
        },
    }


def _iso(at: int) -> str:
    return datetime.fromtimestamp(at, UTC).isoformat()
