"""What a file turns out to hold: rows to take in, problems, questions, and the account of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from app.domain.errors import Problem, Question
from app.domain.glucose import Glucose
from app.domain.marks import Mark


class RowRefused(Exception):
    """One row can't be taken; the text says why. It never leaves this package."""


@dataclass(frozen=True, slots=True)
class More:
    """What a file says about a reading beyond the usual columns; mostly nothing.

    With `offset_min` the file gave the UTC offset of the wall time itself. The fields from
    `record_id` on are filled from our own export alone.
    """

    offset_min: int | None = None
    site: str | None = None
    tags: tuple[str, ...] = ()
    meter: str | None = None
    record_id: str | None = None
    zone: str | None = None
    site_detail: str | None = None
    hands: str = "unknown"
    mark_from: str | None = None
    standing: str = "counted"
    standing_reason: str | None = None
    odd_confirmed: bool = False
    keeper: str | None = None
    time_from: str = "file"
    time_state: str = "sure"
    origin: str | None = None
    entered_at: int | None = None
    source_row: str | None = None


# Rows are named tuples, not frozen dataclasses: a hundred thousand of them are made in one go, and
# a frozen dataclass of this width takes ten times as long to make.
class ReadingRow(NamedTuple):
    """A glucose result of a file. `wall` is naive; `held` says why it waits for a person."""

    line: int
    wall: datetime | None
    precision: str  # second, minute, slot, day
    raw_wall: str | None
    raw_value: str | None
    raw_unit: str | None  # as the file has it; None where it says none
    code: str | None
    note: str | None
    held: str | None
    glucose: Glucose
    mark: Mark
    after_min: int | None
    more: More | None

    @property
    def kind(self) -> str:
        """The kind of entry, as the account counts it."""
        return "reading"


class DoseRow(NamedTuple):
    """A dose that the file says was taken; `amount` is plain decimal text and may be 0."""

    line: int
    wall: datetime | None
    precision: str
    raw_wall: str | None
    raw_value: str | None
    raw_unit: str | None
    code: str | None
    note: str | None
    held: str | None
    what: str
    amount: str
    unit: str
    dose_kind: str | None

    @property
    def kind(self) -> str:
        """The kind of entry, as the account counts it."""
        return "dose"


class EventRow(NamedTuple):
    """A meal, exercise, symptom or other event; what stands in its value column is not used."""

    line: int
    wall: datetime | None
    precision: str
    raw_wall: str | None
    raw_value: str | None
    raw_unit: str | None
    code: str | None
    note: str | None
    held: str | None
    event: str  # meal, snack, exercise, symptom, journey, other
    level: str | None
    text: str | None

    @property
    def kind(self) -> str:
        """The kind of entry, as the account counts it."""
        return "event"


class ControlRow(NamedTuple):
    """A result with control solution: it tests the meter and is no glucose of anybody.

    `level` of the solution is None where the file does not say it.
    """

    line: int
    wall: datetime | None
    precision: str
    raw_wall: str | None
    raw_value: str | None
    raw_unit: str | None
    code: str | None
    note: str | None
    held: str | None
    glucose: Glucose
    level: str | None

    @property
    def kind(self) -> str:
        """The kind of entry, as the account counts it."""
        return "control_test"


Row = ReadingRow | DoseRow | EventRow | ControlRow


@dataclass(frozen=True, slots=True)
class FileRead:
    """A file, parsed. With a question open there are no rows: nothing was decided for the person.

    A record is one CSV record, however many lines it takes. Blank lines, lines of empty fields,
    skipped lines and the header are no records.
    """

    rows: list[Row] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    questions: tuple[Question, ...] = ()
    source: str = "file"
    zone: str | None = None
    ours: bool = False
    encoding: str | None = None
    delimiter: str | None = None
    columns: tuple[str, ...] = ()
    roles: tuple[tuple[str, int], ...] = ()  # what each column is, by its place from 0
    date_order: str | None = None  # dmy, mdy, ymd; None where it is asked or a format says it
    signature: str = ""  # what files of one source have in common; empty where nothing is
    notes: tuple[str, ...] = ()
    strange_marks: tuple[str, ...] = ()  # words of the mark column that stand in the notes instead

    @property
    def seen(self) -> int:
        """How many records the file holds: each is a row or a problem."""
        return len(self.rows) + len(self.problems)


@dataclass(frozen=True, slots=True)
class Account:
    """Where each record of a file went; it always adds up."""

    seen: int
    new: int
    already: int
    refused: int
    held: int

    def __post_init__(self) -> None:
        if self.new + self.already + self.refused + self.held != self.seen:
            raise ValueError(f"the account does not add up: {self}")
        if min(self.new, self.already, self.refused, self.held) < 0:
            raise ValueError(f"a count is below zero: {self}")
