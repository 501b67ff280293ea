"""The full check once a week: when it was last made, and what follows from what it found.

That is remembered in the state folder, a small file for each diary: a damaged diary is left as it
is, and a copy must not bring the check of another file along.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID, uuid4

from app.domain.errors import StoreUnavailable
from app.store.check import Checked, check_diary
from app.store.diary import Diary
from app.store.opening import identity_in

EVERY = timedelta(days=7)  # a rule of this diary

_FOLDER = "checked"


@dataclass(frozen=True, slots=True)
class LastCheck:
    """When the last full check of a diary was made here (aware), and whether it found damage."""

    at: datetime
    damaged: bool


def full_check(diary: Diary, state: Path, *, now: datetime) -> Checked:
    """Look at the whole diary and remember it; a damaged one is from now on only shown.

    Raises
    ------
    StoreUnavailable
        Another program keeps it locked, or the disk does not answer.
    """
    found = check_diary(diary)
    uid = _uid(diary)
    if uid is not None:
        _remember(state, uid, LastCheck(now, bool(found.damage)))
    if found.damage:
        diary.distrust()
    return found


def check_when_due(diary: Diary, state: Path, *, now: datetime) -> Checked | None:
    """Make the full check where the last one is a week old or found damage; None where not due.

    Whoever keeps the diary busy meanwhile puts the check off until the next time.
    """
    try:
        if diary.damaged or not is_due(diary, state, now=now):
            return None
        return full_check(diary, state, now=now)
    except StoreUnavailable:
        return None


def is_due(diary: Diary, state: Path, *, now: datetime) -> bool:
    """Whether the full check is due; a clock that was put back counts as a week gone by."""
    uid = _uid(diary)
    last = last_check(state, uid) if uid else None
    return last is None or last.damaged or not now - EVERY < last.at <= now


def last_check(state: Path, uid: UUID) -> LastCheck | None:
    """The last full check of a diary on this computer, None where none is remembered."""
    try:
        found = json.loads(_file(state, uid).read_text(encoding="ascii"))
        at = datetime.fromisoformat(found["at"])
        return LastCheck(at.astimezone(UTC), bool(found["damaged"]))
    except (OSError, ValueError, KeyError, TypeError):  # a torn file is as good as none
        return None


def _uid(diary: Diary) -> UUID | None:
    try:
        with diary.reading() as connection:
            me = identity_in(connection, diary.installation)
    except StoreUnavailable:
        return None
    return me.uid if me else None


def _remember(state: Path, uid: UUID, check: LastCheck) -> None:
    """Write it whole; where the state folder can't be written, the next start checks again."""
    file = _file(state, uid)
    fresh = file.with_name(f"{file.name}.{uuid4().hex}")
    content = {"at": check.at.astimezone(UTC).isoformat(), "damaged": check.damaged}
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        fresh.touch(mode=0o600)
        fresh.write_text(json.dumps(content), encoding="ascii")
        os.replace(fresh, file)  # noqa: PTH105 - says plainly that it replaces
    except OSError:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)


def _file(state: Path, uid: UUID) -> Path:
    return state / _FOLDER / f"{uid.hex}.json"
