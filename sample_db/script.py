"""The things that a script lets happen to a year, each as a record with its wall time."""

from __future__ import annotations

from dataclasses import dataclass

from app.domain.glucose import Unit
from app.domain.marks import Mark
from sample_db.records import Trace


@dataclass(frozen=True, slots=True)
class Added:
    """A test that the draw does not know, on a meter; with a borrowed one it leaves paper only."""

    at: str
    value: str
    meter: str | None
    unit: Unit | None = None  # of the number, where it is not the household's
    written_unit: Unit | None = None  # as the paper has it, where that is wrong
    mark: Mark = Mark.NONE
    hands: str = "unknown"
    note: str | None = None


@dataclass(frozen=True, slots=True)
class SomeoneElse:
    """A test of another person on the household's meter."""

    at: str
    value: str
    meter: str
    who: str


@dataclass(frozen=True, slots=True)
class PaperOnly:
    """A row of a paper sheet with no record in the meter, whose memory covers the time."""

    at: str
    value: str
    keeper: str
    place: str


@dataclass(frozen=True, slots=True)
class ControlRun:
    """A control test; `flagged` says whether the meter's memory tells it from a reading."""

    at: str
    value: str
    meter: str
    flagged: bool = True


@dataclass(frozen=True, slots=True)
class KetoneRun:
    """A blood ketone test, written on paper."""

    at: str
    value: str


@dataclass(frozen=True, slots=True)
class NeverHappened:
    """Drawn tests from one wall time up to another that the story replaces."""

    at: str
    until: str


@dataclass(frozen=True, slots=True)
class Left:
    """What is left of a meter's records from one wall time up to another: paper, or nothing."""

    at: str
    until: str
    meter: str
    trace: Trace


@dataclass(frozen=True, slots=True)
class ClockSet:
    """A clock that is given a time: right where `shown` is not said."""

    at: str
    meter: str
    cause: str
    shown: str | None = None


@dataclass(frozen=True, slots=True)
class Noted:
    """Words that the family wrote beside the result of one wall time."""

    at: str
    note: str


@dataclass(frozen=True, slots=True)
class Tagged:
    """A tag on every result from one wall time up to another."""

    at: str
    until: str
    tag: str


Step = (
    Added
    | SomeoneElse
    | PaperOnly
    | ControlRun
    | KetoneRun
    | NeverHappened
    | Left
    | ClockSet
    | Noted
    | Tagged
)
