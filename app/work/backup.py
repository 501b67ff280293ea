"""Keeping copies: on request, once a day, and before whatever could take much away at once."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from app.store.backup import Progress, make_backup
from app.store.backup_facts import BackupFacts, list_backups, local, newest_verified
from app.store.diary import Diary
from app.store.rotation import ASKED, rotate

DAILY = "daily"
BEFORE_IMPORT = "before_import"
BEFORE_RESTORE = "before_restore"
BEFORE_EMPTYING = "before_emptying"
BEFORE_REMOVING = "before_removing"
BEFORE_TOGETHER = "before_together"
RESTORED = "restored"

LARGE_IMPORT = 100  # rows; from one more on, a backup goes before it
FRESH_ENOUGH = timedelta(hours=1)

_WHY = {
    ASKED: "asked for",
    DAILY: "daily",
    BEFORE_IMPORT: "before an import",
    "before_migration": "before the file was brought up to date",
    BEFORE_RESTORE: "before a restore",
    BEFORE_EMPTYING: "before the bin was emptied",
    BEFORE_REMOVING: "before a person was removed",
    BEFORE_TOGETHER: "before another copy was brought in",
    RESTORED: "after a restore",
    "set_aside": "set aside by a restore",
}


def backup_now(
    diary: Diary,
    *,
    why: str = ASKED,
    now: datetime,
    folder: Path | None = None,
    smaller_is_right: bool = False,
    progress: Progress | None = None,
) -> BackupFacts:
    """Make a checked backup, then let go of those beside the diary that have had their time.

    Parameters
    ----------
    why : str
        A code: why it is made; those that were asked for are never let go of.
    folder : Path, optional
        A second place, another disk for instance; nothing is ever removed there.
    smaller_is_right : bool, default False
        The diary is known to hold fewer rows than before: the backup is not kept apart.

    Raises
    ------
    StoreUnavailable
        There was no room, the folder can't be written, or the diary did not pass the check.
    """
    made = make_backup(
        diary,
        why=why,
        now=now,
        folder=folder,
        smaller_is_right=smaller_is_right,
        progress=progress,
    )
    if folder is None:
        rotate(diary.path, now=now)
    return made


def daily_backup(
    diary: Diary, now: datetime, *, progress: Progress | None = None
) -> BackupFacts | None:
    """Make the backup of the day; None where it was made already."""
    for each in list_backups(diary.path):
        if each.why == DAILY and each.local_day == local(now, each.zone).date():
            return None
    return backup_now(diary, why=DAILY, now=now, progress=progress)


def backup_first(diary: Diary, *, why: str, now: datetime) -> BackupFacts | None:
    """Make sure of a checked backup before a change that takes much with it.

    Before an import one of the last hour is enough, and None is given; before the rest one is made
    always.

    Raises
    ------
    StoreUnavailable
        None could be made: the change must not begin.
    """
    if why == BEFORE_IMPORT:
        newest = newest_verified(diary.path)
        # One dated in the future was made by a clock that was wrong: nobody knows how old it is.
        if newest is not None and timedelta(0) <= now - newest.at <= FRESH_ENOUGH:
            return None
    return backup_now(diary, why=why, now=now)


def why_words(why: str) -> str:
    """Why a backup was made, in words."""
    return _WHY.get(why) or why.replace("_", " ")


def age_words(newest: BackupFacts | None, now: datetime) -> str:
    """How old the newest checked backup is, as a clause: "backup checked 3 hours ago"."""
    if newest is None:
        return "no checked backup yet"
    minutes = int((now - newest.at).total_seconds() // 60)
    if minutes < 0:
        return "backup checked at a time that is still to come: look at this computer's clock"
    if minutes < 2:
        return "backup checked just now"
    for unit, length in (("day", 1440), ("hour", 60)):
        if minutes >= 2 * length:
            return f"backup checked {minutes // length} {unit}s ago"
    return f"backup checked {minutes} minutes ago"


def shrank_words(facts: BackupFacts, rows: int) -> str:
    """What is said of a backup that is kept apart; `rows` is what it holds."""
    return (
        f"This backup holds {rows} rows where the one before held {facts.rows_before}, so it is "
        "kept apart and the earlier ones stay. If the diary really is smaller now, say so: "
        "thimblebook backup --sure"
    )
