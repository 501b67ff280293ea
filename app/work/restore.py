"""Going back to an earlier file: the present diary is kept, so that this can be undone too."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from uuid import UUID

from app.domain.errors import DiaryError, StoreUnavailable
from app.domain.steps import Step, part_of
from app.store.backup import make_backup
from app.store.backup_facts import BackupFacts
from app.store.diary import Diary
from app.store.file import DiaryFile, inspect
from app.store.opening import identity_in
from app.store.restore import prepared, swap_in
from app.store.seen import forget
from app.work.backup import BEFORE_RESTORE, RESTORED

_NOBODY = UUID(int=0)  # copies are read here, and nothing is written into a journal


@dataclass(frozen=True, slots=True)
class RestoreDone:
    """What came of a restore: the readings now in the diary, and where the present one went.

    `set_aside` is None where there was no diary; `before` the backup that was made of it, None
    where it was too damaged for one.
    """

    path: Path
    readings: int
    set_aside: Path | None
    before: BackupFacts | None

    @property
    def sentence(self) -> str:
        """What was done, and how it is undone."""
        count = f"{self.readings} reading{'' if self.readings == 1 else 's'}"
        if self.set_aside is None:
            return f"Restored: {self.path} holds {count} again."
        return (
            f"Restored: {self.path} holds {count}. The diary of before is whole in "
            f"{self.set_aside}; to go back to it: thimblebook restore {self.set_aside.name}"
        )


def restore(
    path: Path,
    file: Path,
    *,
    now: datetime,
    state: Path | None = None,
    step: Step | None = None,
) -> RestoreDone:
    """Put a checked copy of `file` in the place of the diary at `path`.

    Nobody in this process may have the diary open. The present one is set aside under a dated name
    in the same folder and never removed.

    Parameters
    ----------
    state : Path, optional
        The state folder of the user: what it knows of the diary's counters is let go of, since the
        older ones are wanted.
    step : callable, optional
        Told how far it has come, until the copy takes the diary's place; what it raises before
        leaves everything as it was. Once the place is taken nothing is asked any more.

    Raises
    ------
    Refused
        `file` is the diary itself.
    DiaryError
        `file` is missing, not ours, newer or damaged, there is no room, or another program is
        using the diary; nothing was changed.
    """
    with prepared(path, file, now=now, step=part_of(step, 0, 50)) as ready:
        before = _backup_of_present(ready.path, now, part_of(step, 50, 100))
        aside = swap_in(ready, now=now)
    with suppress(DiaryError):  # what was restored is a checked copy itself
        if state is not None:
            _expect_older(ready.path, state)
        _backup(inspect(ready.path), RESTORED, now)
    return RestoreDone(path, ready.copied.readings, aside, before)


def _backup_of_present(path: Path, now: datetime, step: Step | None) -> BackupFacts | None:
    try:
        present = inspect(path)
    except DiaryError:  # missing, or nothing of it can be read: that is why it is restored
        return None
    if present.damaged:
        return None
    try:
        return _backup(present, BEFORE_RESTORE, now, step)
    except StoreUnavailable:
        # It opens and yet does not pass the check. It is set aside whole, so nothing is lost.
        return None


def _expect_older(path: Path, state: Path) -> None:
    with Diary(inspect(path), _NOBODY) as diary, diary.reading() as connection:
        me = identity_in(connection, _NOBODY)
    if me is not None:
        forget(state, me.uid)


def _backup(file: DiaryFile, why: str, now: datetime, step: Step | None = None) -> BackupFacts:
    with Diary(file, _NOBODY) as diary:
        return make_backup(
            diary,
            why=why,
            now=now,
            smaller_is_right=why == RESTORED,
            progress=part_of(step, 0, 60),
            checking=part_of(step, 60, 100),
        )
