"""The calls that the guard makes off the GUI thread; what is slow to import is imported in them."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from app.domain.errors import DiaryError, StoreUnavailable
from app.store.diary import Diary

if TYPE_CHECKING:
    from app.domain.steps import Step
    from app.store.check import Checked
    from app.store.salvage import Salvaged
    from app.ui.safety.backups_model import Listed
    from app.work.keeping import Kept
    from app.work.restore import RestoreDone


def make_ready() -> None:
    """Import what a first save needs: it takes a quarter of a second."""
    import_module("app.work.enter")


def look_around(diary: Diary) -> None:
    """Note what is worth a word about the diary's place."""
    try:
        diary.look_around()
    except UnicodeDecodeError:  # the driver's, from a message about a damaged file
        diary.distrust()


def check(diary: Diary, state: Path, now: datetime, *, thorough: bool = False) -> Checked | None:
    """Make the full check where it is due or asked for; None where it was not made."""
    from app.store.checks import check_when_due, full_check

    if thorough and not diary.damaged:
        return full_check(diary, state, now=now)
    return check_when_due(diary, state, now=now)


def keep(diary: Diary, state: Path, now: datetime) -> Kept:
    """Make the backup of the day."""
    from app.work.keeping import keep_daily

    return keep_daily(diary, state, now)


def back_up(diary: Diary, state: Path, now: datetime) -> Kept:
    """Make a backup that was asked for."""
    from app.work.keeping import keep_now

    return keep_now(diary, state, now)


def gone(diary: Diary) -> str:
    """Why the open file is no longer this diary at its path; empty where it is, or is busy."""
    try:
        diary.still_there()
    except StoreUnavailable as problem:
        return str(problem)
    if diary.damaged:
        return ""
    said = ""
    for _ in range(2):  # a save at this very moment looks like another file once, not twice
        try:
            diary.still_the_same()
        except StoreUnavailable as problem:
            said = "" if problem.__cause__ is not None else str(problem)  # it is busy just now
        else:
            return ""
    return said


def rescue(
    damaged: Path, out: Path, installation: UUID, now: datetime, step: Step | None = None
) -> Salvaged:
    """Save what can be read into a new file; what is missing comes from the newest good backup."""
    from app.store.backup_facts import newest_verified
    from app.store.salvage import salvage

    backup = newest_verified(damaged, certain=True)
    return salvage(
        damaged,
        out,
        backup=None if backup is None else backup.path,
        installation=installation,
        now=now,
        step=step,
    )


def restore(
    path: Path, file: Path, state: Path, now: datetime, step: Step | None = None
) -> RestoreDone:
    """Put a checked copy of a file in the diary's place."""
    from app.work.restore import restore as put_back

    return put_back(path, file, now=now, state=state, step=step)


def listed(diary: Diary, state: Path) -> tuple[list[Listed], Path | None]:
    """The backups beside a diary and in its second place, the newest first, and that place."""
    from app.store.backup_facts import list_backups
    from app.ui.safety.backups_model import Listed
    from app.work.keeping import place_of

    folder = None
    with suppress(DiaryError):  # too little of a damaged diary can be read
        folder = place_of(diary, state)
    found = [Listed(each, elsewhere=False) for each in list_backups(diary.path)]
    if folder is not None and folder.is_dir():
        found += [Listed(each, elsewhere=True) for each in list_backups(diary.path, folder)]
    return sorted(found, key=lambda each: each.facts.at, reverse=True), folder


def choose_place(diary: Diary, state: Path, folder: Path | None) -> None:
    """Keep copies in a second place from now on; None ends that."""
    from app.work.keeping import choose_place as choose

    choose(diary, state, folder)
