"""What happened in an invented year, as plain records with moments, words and codes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from uuid import NAMESPACE_URL, UUID, uuid5

from app.domain.clock import Moment, moment_at, offsets_of
from app.domain.glucose import Glucose, Unit
from app.domain.marks import Mark
from app.domain.reading import Stamp, Standing

NAMESPACE = uuid5(NAMESPACE_URL, "thimblebook:sample_db")
NO_UID = UUID(int=0)
NO_STAMP = Stamp()
NOT_IN_MEMORY = "not in the meter's memory"


class Trace(StrEnum):
    """What is left of a test when the year is over."""

    METER = "meter"  # in a copy of its meter's memory
    PAPER = "paper"  # on paper alone: the record in the memory is gone, or never was one
    UNCONFIRMED = "unconfirmed"  # on paper alone, though a memory that covers the time lacks it
    LOST = "lost"  # neither: nobody can bring it back


@dataclass(frozen=True, slots=True)
class Result:
    """One glucose result with its true moment, and beside it the stamp that the source shows.

    `memory_order` counts the records of its meter, control tests included, from the first of the
    year; None where no memory holds it.
    """

    glucose: Glucose
    moment: Moment
    meter: str | None
    keeper: str
    place: str
    mark: Mark = Mark.NONE
    trace: Trace = Trace.METER
    standing: Standing = Standing.COUNTED
    standing_why: str | None = None
    time_state: str = "sure"
    stamp: Stamp = NO_STAMP
    memory_order: int | None = None
    hands: str = "unknown"
    note: str | None = None
    tags: tuple[str, ...] = ()
    uid: UUID = NO_UID

    @property
    def time_from(self) -> str:
        """Where the time came from: the meter's memory or paper."""
        return "meter" if self.trace in (Trace.METER, Trace.LOST) else "paper"

    @property
    def is_held(self) -> bool:
        """Whether the family's diary can hold it: it was written or copied somewhere."""
        return self.trace is not Trace.LOST


@dataclass(frozen=True, slots=True)
class ControlTest:
    """A test of a meter and its strips with control solution: never a reading."""

    value: str
    unit: Unit
    moment: Moment
    meter: str
    keeper: str
    level: str = "normal"
    flagged: bool = True  # whether the meter's memory says that it was a control test
    vial: str | None = None
    time_state: str = "sure"
    stamp: Stamp = NO_STAMP
    memory_order: int | None = None
    uid: UUID = NO_UID


@dataclass(frozen=True, slots=True)
class Ketone:
    """A blood ketone test, in mmol/L, as written on paper."""

    value: str
    moment: Moment
    keeper: str
    stamp: Stamp
    uid: UUID = NO_UID


@dataclass(frozen=True, slots=True)
class Visit:
    """A clinic visit with the A1C that the laboratory reported, as printed."""

    day: date
    a1c_percent: str
    taken_at: Moment
    a1c_mmol_mol: str | None = None
    words: str | None = None
    uid: UUID = NO_UID
    lab_uid: UUID = NO_UID


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of days with one thing in common: `sick`, `steroid`, `term`, `journey`."""

    kind: str
    first: date
    last: date
    words: str
    uid: UUID = NO_UID


@dataclass(frozen=True, slots=True)
class ChangeMark:
    """A day from which something was done differently, and the days left out after it."""

    day: date
    words: str
    settling_days: int = 3
    uid: UUID = NO_UID


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened at a time: exercise, or another thing worth remembering."""

    kind: str
    start: Moment
    words: str
    end: Moment | None = None
    tags: tuple[str, ...] = ()
    uid: UUID = NO_UID


@dataclass(frozen=True, slots=True)
class Edit:
    """What one keeper did to one reading in that keeper's own copy of the diary."""

    keeper: str
    day: date
    reading: UUID
    field: str
    old: str | None
    new: str


def local_moment(wall: str, zone: str) -> Moment:
    """The moment of a wall time as ISO text; of an hour that comes twice, the first one."""
    local = datetime.fromisoformat(wall)
    return moment_at(local, zone, offsets_of(local, zone)[0])


def uid_of(household: str, kind: str, number: int) -> UUID:
    """The id of the n-th thing of a kind in a household: the same in every build."""
    return uuid5(NAMESPACE, f"{household}/{kind}/{number:04}")
