"""What a window sees to by itself: the backup of the day, here and in the second place."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from app.domain.errors import DiaryError, Refused
from app.store.backup import Progress
from app.store.backup_facts import (
    BackupFacts,
    default_folder,
    list_backups,
    local,
    newest_verified,
)
from app.store.diary import Diary
from app.store.opening import identity_in
from app.store.second_place import keep_also_in, second_place
from app.work.backup import DAILY, backup_now, daily_backup


@dataclass(frozen=True, slots=True)
class Kept:
    """How the copies of a diary stand: the newest checked one anywhere, and what went wrong."""

    newest: BackupFacts | None
    made: tuple[BackupFacts, ...]
    trouble: tuple[str, ...]


def keep_daily(diary: Diary, state: Path, now: datetime) -> Kept:
    """Make the backup of the day where it is not made yet, also in the second place.

    Trouble is told and not raised: it must not keep anybody from writing in the diary.
    """
    made: list[BackupFacts] = []
    trouble: list[str] = []
    if diary.writable:
        try:
            _add(made, daily_backup(diary, now))
        except DiaryError as problem:
            trouble.append(str(problem))
        try:
            _add(made, _daily_elsewhere(diary, state, now))
        except DiaryError as problem:
            trouble.append(str(problem))
    return Kept(newest_anywhere(diary, state), tuple(made), tuple(trouble))


def keep_now(diary: Diary, state: Path, now: datetime, *, progress: Progress | None = None) -> Kept:
    """Make a backup that is asked for, also in the second place.

    Raises
    ------
    StoreUnavailable
        None could be made beside the diary. That the second place failed is told in `trouble`.
    """
    made = [backup_now(diary, now=now, progress=progress)]
    trouble: list[str] = []
    folder = place_of(diary, state)
    if folder is not None:
        try:
            _must_be_reached(folder)
            made.append(backup_now(diary, now=now, folder=folder, progress=progress))
        except DiaryError as problem:
            trouble.append(str(problem))
    return Kept(newest_anywhere(diary, state), tuple(made), tuple(trouble))


def newest_anywhere(diary: Diary, state: Path) -> BackupFacts | None:
    """The newest checked backup beside the diary or in the second place, where that is reached."""
    found = [newest_verified(diary.path)]
    folder = None
    with suppress(DiaryError):  # too little of a damaged diary can be read
        folder = place_of(diary, state)
    if folder is not None and folder.is_dir():
        with suppress(DiaryError):  # gone since it was looked for
            found.append(newest_verified(diary.path, folder))
    there = [each for each in found if each is not None]
    return max(there, key=lambda each: each.at, default=None)


def place_of(diary: Diary, state: Path) -> Path | None:
    """The second place of a diary, where one was named."""
    with diary.reading() as connection:
        me = identity_in(connection, diary.installation)
    return None if me is None else second_place(state, me.uid)


def choose_place(diary: Diary, state: Path, folder: Path | None) -> None:
    """Keep copies in a second place from now on; None ends that and removes nothing.

    Raises
    ------
    Refused
        It is no folder, or the one that backups lie in anyway.
    StoreUnavailable
        The choice can't be remembered.
    """
    if folder is not None:
        _must_be_reached(folder)
        if folder.resolve() in (diary.path.resolve().parent, default_folder(diary.path)):
            raise Refused(
                f"{folder} is where the diary or its backups lie already. Nothing was changed; "
                "choose a folder on another disk."
            )
    with diary.reading() as connection:
        me = identity_in(connection, diary.installation)
    if me is not None:
        keep_also_in(state, me.uid, folder)


def _daily_elsewhere(diary: Diary, state: Path, now: datetime) -> BackupFacts | None:
    folder = place_of(diary, state)
    if folder is None:
        return None
    _must_be_reached(folder)
    for each in list_backups(diary.path, folder):
        if each.why == DAILY and each.local_day == local(now, each.zone).date():
            return None
    return backup_now(diary, why=DAILY, now=now, folder=folder)


def _must_be_reached(folder: Path) -> None:
    """A folder on a disk that was taken away is not made anew where the disk used to be."""
    if not folder.is_dir():
        raise Refused(
            f"The second place {folder} can't be reached, so no copy was kept there. The diary and "
            "the backups beside it are safe; connect that disk, or choose another place in "
            "Diary ▸ Backups."
        )


def _add(made: list[BackupFacts], one: BackupFacts | None) -> None:
    if one is not None:
        made.append(one)
