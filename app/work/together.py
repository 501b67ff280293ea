"""Bringing two homes' copies of one diary together: a look first, then it is done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from app.domain.steps import Step, part_of
from app.store.backup_facts import BackupFacts
from app.store.diary import Diary
from app.store.durable import remove_with_company
from app.store.probably_one import probably_one
from app.store.to_settle import to_settle
from app.store.together import bring_together as bring
from app.store.together_counts import Brought
from app.store.together_file import nothing_of, opened, other_copy, private_twin
from app.work.backup import BEFORE_TOGETHER, backup_first
from app.work.told import count, listed


@dataclass(frozen=True, slots=True)
class Together:
    """What bringing together did, or would do; how many pairs and leftovers are open then.

    `readings` are how many there are in the diary then, of everybody; `backup` is None where
    nothing was written.
    """

    file: Path
    brought: Brought
    readings: int
    probably_one: int
    to_settle: int
    backup: BackupFacts | None = None
    is_look: bool = False

    @property
    def sentences(self) -> tuple[str, ...]:
        """What came of it in plain words, one thing after the other."""
        name = self.file.name
        if self.brought.is_nothing:
            said = [f"{name} holds nothing that this diary lacks. Nothing was changed."]
        else:
            begin = (
                f"Bringing {name} together with this diary would give:"
                if self.is_look
                else f"{name} was brought together with this diary:"
            )
            said = [f"{begin} {_came(self.brought)}"]
            said.append(
                f"{count(self.readings, 'reading')} then, with what is open still counted."
                if self.is_look
                else f"That made {count(self.readings, 'reading')} in the diary."
            )
        said += _open(self.probably_one, self.to_settle)
        if self.brought.private:
            n = self.brought.private
            said.append(f"{count(n, 'note')} kept for the other copy alone stayed there.")
        if self.is_look and not self.brought.is_nothing:
            said.append(f"This was only a look: {name} and this diary are as they were.")
        return tuple(said)

    def told(self) -> dict[str, Any]:
        """The same as plain values, for JSON."""
        counts = self.brought.told()
        return {
            "file": str(self.file),
            "looked": self.is_look,
            "records": self.readings,
            "readings": counts["readings"],
            "others": counts["others"],
            "changes": self.brought.entries,
            "probably_one": self.probably_one,
            "to_settle": self.to_settle,
            "private_notes_left": self.brought.private,
            "backup": None if self.backup is None else str(self.backup.path),
        }


def look_at(diary: Diary, file: Path, *, now: datetime, step: Step | None = None) -> Together:
    """Say what bringing another copy in would do: tried on a private copy of this diary.

    Parameters
    ----------
    step : callable, optional
        Told how far it has come; what it raises ends the look.

    Raises
    ------
    DiaryError
        The file is no copy of this diary that can be brought in: said in one sentence.
    """
    with other_copy(diary, file, now=now, step=part_of(step, 0, 50)) as copy:
        twin = private_twin(diary, now=now)
        try:
            _tell(step, 60)
            with opened(twin, diary.installation) as tried:
                brought = bring(tried, copy, now=now)
                _tell(step, 95)
                return _together(tried, file, brought, is_look=True)
        finally:
            remove_with_company(twin)


def bring_together(
    diary: Diary, file: Path, *, now: datetime, step: Step | None = None
) -> Together:
    """Bring another copy of this diary in, after a checked backup; the file itself is only read.

    Nothing is written where the other copy holds nothing that this diary lacks. `step` is told how
    far it has come until the diary is written; what it raises leaves everything as it was.

    Raises
    ------
    DiaryError
        The file can't be brought in, or no backup could be made; nothing was changed.
    """
    with other_copy(diary, file, now=now, step=part_of(step, 0, 60)) as copy:
        if not _has_news(diary, copy):
            return _together(diary, file, nothing_of(copy), is_look=False)
        backup = backup_first(diary, why=BEFORE_TOGETHER, now=now)
        _tell(step, 90)
        words = {"file": file.name, "backup": backup.path.name if backup else ""}
        brought = bring(diary, copy, now=now, words=words)
    return _together(diary, file, brought, is_look=False, backup=backup)


def back_words(backup: str) -> str:
    """How bringing together is taken back."""
    return (
        f"To take it back: thimblebook restore {backup} (the backup made just before); undo takes "
        "back single answers."
    )


def _together(
    diary: Diary, file: Path, brought: Brought, *, is_look: bool, backup: BackupFacts | None = None
) -> Together:
    with diary.driver() as driver:
        query = "SELECT count(*) FROM reading WHERE deleted_at IS NULL"
        readings = int(driver.execute(query).fetchone()[0])
    return Together(
        file=file,
        brought=brought,
        readings=readings,
        probably_one=len(probably_one(diary)),
        to_settle=len(to_settle(diary)),
        backup=None if brought.is_nothing else backup,
        is_look=is_look,
    )


def _came(brought: Brought) -> str:
    readings, others = brought.readings, brought.others
    parts = [f"{count(readings.new, 'new reading')}", f"{readings.same:,} the same"]
    if readings.met:
        parts.append(f"{readings.met:,} of these from a file that both brought in")
    if readings.changed:
        parts.append(f"{readings.changed:,} changed there")
    if readings.deleted:
        parts.append(f"{readings.deleted:,} deleted there and put into the bin")
    if readings.erased:
        parts.append(f"{readings.erased:,} emptied from the bin there, for good")
    rest = others.new + others.changed + others.deleted + others.erased
    if rest:
        parts.append(f"{count(rest, 'other record')} new, changed or deleted")
    return f"{listed(parts)}."


def _open(pairs: int, leftovers: int) -> list[str]:
    said = []
    if pairs:
        said.append(
            f"{count(pairs, 'pair')} of readings {'is' if pairs == 1 else 'are'} probably one; "
            "both stand until you say."
        )
    if leftovers:
        said.append(
            f"{count(leftovers, 'record')} {'is' if leftovers == 1 else 'are'} to settle: changed "
            "in both copies; both versions are kept."
        )
    return said


def _has_news(diary: Diary, copy: Path) -> bool:
    from app.store.places import compare

    with diary.reading() as connection:
        here = {row[0] for row in connection.exec_driver_sql("SELECT uid FROM journal_entry")}
    found = compare(here, copy)
    return found is None or found.only_there > 0


def _tell(step: Step | None, percent: int) -> None:
    if step is not None:
        step(percent * 100, 10_000)
