"""One change of the journal as a line of the history: number, time, by whom, sentence, standing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from zoneinfo import ZoneInfo

from app.domain.person import Person
from app.store.diary import Diary
from app.store.history import REDO, SOME_ERASED, UNDO, Entry
from app.store.people import persons_ever
from app.work.told import told


class State(StrEnum):
    """How a change stands now."""

    STANDS = "stands"
    TAKEN_BACK = "taken back"
    WALKS = "takes back"  # an undo or a redo: no change of its own


@dataclass(frozen=True, slots=True)
class Line:
    """One change: its number, when it was, whose, by whom, and what it was in one sentence.

    `undoable` says that this computer may try to take it back; `emptied` that some of what it
    touched was emptied from the bin since.
    """

    entry: int
    at: datetime
    kind: str
    sentence: str
    by: str
    here: bool
    person: str | None
    state: State
    undoable: bool
    emptied: bool

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
        by=by_whom(entry),
        here=entry.here,
        person=person.name if person else None,
        state=state,
        undoable=entry.can_be_undone,
        emptied=entry.erased >= SOME_ERASED,
    )


def _other(label: str) -> str:
    # Every installation calls itself this computer.
    return "another computer" if label in ("", "this computer") else label
