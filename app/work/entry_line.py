"""One change of the journal as a line of the history: number, time, by whom, sentence, standing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from zoneinfo import ZoneInfo

from app.domain.person import Person
from app.store.diary import Diary
from app.store.history import ALL_ERASED, BIN_EMPTIED, REDO, SOME_ERASED, TOGETHER, UNDO, Entry
from app.store.people import persons_ever
from app.work.told import told, told_of


class State(StrEnum):
    """How a change stands now."""

    STANDS = "stands"
    TAKEN_BACK = "taken back"
    WALKS = "takes back"  # an undo or a redo: no change of its own


@dataclass(frozen=True, slots=True)
class Line:
    """One change: its number, when it was, whose, by whom, and what it was in one sentence.

    `about` is the sentence of the change that an undo or a redo is about, else the same again.
    `undoable` says that this computer may try to take it back, `why_not` why it may not; `emptied`
    that some of what it touched was emptied from the bin since.
    """

    entry: int
    at: datetime
    kind: str
    sentence: str
    about: str
    by: str
    here: bool
    person: str | None
    state: State
    undoable: bool
    emptied: bool
    why_not: str | None

    @property
    def when(self) -> str:
        """Day and time of day where the person lives: "12 Mar 2026 21:30"."""
        return f"{self.at.day} {self.at:%b %Y %H:%M}"


def line_of(diary: Diary, entry: Entry) -> Line:
    """The line of one change."""
    return lines_of(diary, (entry,))[0]


def lines_of(diary: Diary, found: tuple[Entry, ...]) -> tuple[Line, ...]:
    """The lines of changes, in the order given."""
    people = {person.id: person for person in persons_ever(diary)}
    return tuple(_line(entry, people.get(entry.person_id or 0)) for entry in found)


def why_not(entry: Entry) -> str | None:
    """Why a change can't be taken back, in a sentence; None where it may be tried."""
    if entry.kind in (UNDO, REDO):
        return "This is itself a taking back; redo takes back the newest of these."
    if entry.kind == BIN_EMPTIED:
        return "What was emptied from the bin is gone and can't be brought back from here."
    if entry.kind == TOGETHER and entry.here:
        backup = entry.words.get("backup")
        return (
            "Undo does not take apart what was brought together; put back the backup made just "
            f"before instead: thimblebook restore {backup or 'FILE'}"
        )
    if entry.undone:
        return "This change was taken back already."
    if not entry.here:
        return "This change was made on another computer; take it back there."
    if entry.erased == ALL_ERASED:
        return "What this change touched was emptied from the bin, so it can't be taken back."
    return None


def at_home(at: int, person: Person | None) -> datetime:
    """An instant (UTC seconds) as the clocks show it where the person lives; else in UTC."""
    return datetime.fromtimestamp(at, ZoneInfo(person.zone) if person else UTC)


def by_whom(entry: Entry) -> str:
    """Who wrote it, where that was said, and on which computer."""
    where = "on this computer" if entry.here else f"on {_other(entry.copy)}"
    return f"{entry.keeper}, {where}" if entry.keeper else where


def _line(entry: Entry, person: Person | None) -> Line:
    state = State.TAKEN_BACK if entry.undone else State.STANDS
    if entry.kind in (UNDO, REDO):
        state = State.WALKS
    return Line(
        entry=entry.id,
        at=at_home(entry.at, person),
        kind=entry.kind,
        sentence=told(entry.kind, entry.words),
        about=told_of(entry.kind, entry.words),
        by=by_whom(entry),
        here=entry.here,
        person=person.name if person else None,
        state=state,
        undoable=entry.can_be_undone,
        emptied=entry.erased >= SOME_ERASED,
        why_not=why_not(entry),
    )


def _other(label: str) -> str:
    # Every installation calls itself this computer.
    return "another computer" if label in ("", "this computer") else label
