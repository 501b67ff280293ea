"""Saving what was typed, and taking it back: the calls that run off the GUI thread."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from app.domain.cautions import CareTexts, Caution, caution_for
from app.domain.entry import Entry
from app.domain.errors import DiaryError, Refused
from app.domain.follow_ups import LOW_RECHECK, follow_rule
from app.domain.levels import Level
from app.domain.person import Person
from app.domain.safety import USUAL
from app.store.diary import Diary
from app.store.follow_ups import follow_rules_of
from app.store.people import care_texts
from app.store.safety import low_line_at
from app.ui.due.doing import note_shown

if TYPE_CHECKING:
    from app.work.enter import Entered
    from app.work.take_back import TakenBack


@dataclass(frozen=True, slots=True)
class Saved:
    """What was saved, for whom, from which line; its place in the journal; what is said of it.

    `recheck_at` is when a low asks for a recheck (UTC seconds), where those were switched off and
    that time is still to come: it is offered there.
    """

    person: Person
    line: str
    entered: Entered
    journal_id: int | None
    caution: Caution | None
    recheck_at: int | None = None


@dataclass(frozen=True, slots=True)
class Undone:
    """What was taken back, and the line that it was typed as."""

    taken_back: TakenBack
    line: str


def save(
    diary: Diary, person: Person, line: str, entry: Entry, *, now: datetime, keeper: str | None
) -> Saved:
    """Save an understood line; when this returns, it is on the disk.

    Raises
    ------
    DiaryError
        It could not be saved; nothing was changed.
    """
    from app.store.undo import last_entry  # slow to import: the column is seen before
    from app.work.enter import enter

    entered = enter(diary, person, entry, now=now, keeper=keeper)
    care, low_line, journal_id = CareTexts(), USUAL, None
    try:  # the reading is safe by now: trouble with these is no trouble with the save
        care = care_texts(diary, person)
        low_line = low_line_at(diary, person, entry.moment)
        last = last_entry(diary, person)
        journal_id = None if last is None else last.id
    except DiaryError:
        pass
    caution = caution_for(entered.glucose, care=care, line=low_line)
    recheck_at = None
    if caution is not None and caution.level in (Level.LOW, Level.VERY_LOW):
        recheck_at = _offered(diary, person, entry, now)
        # It is shown beside the line now, so nobody is reminded of it once more.
        note_shown(diary, [(person, [f"low-caution/{entered.uid}"])], now=now)
    return Saved(person, line, entered, journal_id, caution, recheck_at)


def _offered(diary: Diary, person: Person, entry: Entry, now: datetime) -> int | None:
    try:
        rule = follow_rule(follow_rules_of(diary, person), LOW_RECHECK)
    except DiaryError:
        return None
    at = entry.moment.instant + rule.seconds if entry.moment else 0
    return at if not rule.on and at > now.timestamp() else None


def take_back(diary: Diary, saved: Saved, *, now: datetime) -> Undone:
    """Take back what was saved, and nothing that was done after it.

    Raises
    ------
    DiaryError
        It could not be taken back, or something else was changed since.
    """
    from app.store.undo import last_entry
    from app.work.take_back import undo_last

    last = last_entry(diary, saved.person)
    if last is None or last.id != saved.journal_id:
        raise Refused(
            "Something else was changed after this reading, so nothing was taken back. "
            "Undo in the Edit menu takes back the newest change."
        )
    return Undone(undo_last(diary, saved.person, now=now), saved.line)
