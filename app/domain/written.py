"""What is written down beside readings: happenings, days with a name, changes, tests, help."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from app.domain.clock import Moment
from app.domain.glucose import Bound

# Open lists: a code that is not here is kept and shown as written.
EVENT_KINDS = ("meal", "snack", "exercise", "symptom", "journey", "other")
SPAN_KINDS = (
    *("sick", "holiday", "term", "journey", "away", "paused", "steroid", "cycle", "exam"),
    *("set_aside", "own"),
)
OWN_WORDS = "own"  # the kind of days that only their text names
SET_ASIDE = "set_aside"


@dataclass(frozen=True, slots=True)
class Event:
    """Something done or felt at a time; `end` is UTC seconds, None where no end was written."""

    id: int
    uid: UUID
    kind: str
    text: str | None
    start: Moment
    end: int | None
    carb_g: float | None
    level: str | None


@dataclass(frozen=True, slots=True)
class Span:
    """Whole days with a name, both ends included as date ordinals; no last day while it goes on.

    With `set_aside` the readings of these days are left out of averages that are asked without
    them; they stay in every list. `begins` and `ends` are instants (UTC seconds) within the first
    and last day, where they were said.
    """

    id: int
    uid: UUID
    kind: str
    text: str | None
    first_day: int
    last_day: int | None
    set_aside: bool
    begins: int | None = None
    ends: int | None = None

    def covers(self, day: int) -> bool:
        """Whether a day (a date ordinal) lies in it."""
        return self.first_day <= day and (self.last_day is None or day <= self.last_day)


@dataclass(frozen=True, slots=True)
class ChangeMark:
    """Something done differently from a day (a date ordinal) on, and the days it needs to settle.

    `last_day` is the last day on which it held, None while it goes on.
    """

    id: int
    uid: UUID
    day: int
    what: str
    settling_days: int
    last_day: int | None


@dataclass(frozen=True, slots=True)
class Lab:
    """A result of a laboratory, as printed: `kind` is "a1c" (in %, mmol/mol) or "glucose"."""

    id: int
    uid: UUID
    kind: str
    value: str
    unit: str
    at: Moment


@dataclass(frozen=True, slots=True)
class Help:
    """Another person's help was needed, whatever the number; `reading_id` where one was written."""

    id: int
    uid: UUID
    at: Moment
    what: str | None
    reading_id: int | None


@dataclass(frozen=True, slots=True)
class KetoneTest:
    """A ketone test: of blood with a number or a bound in mmol/L, of urine with a level."""

    id: int
    uid: UUID
    method: str
    bound: Bound
    value: str | None
    level: str | None
    at: Moment


@dataclass(frozen=True, slots=True)
class Dose:
    """What was taken and how much, as written: recorded and shown, never suggested."""

    id: int
    uid: UUID
    what: str
    kind: str | None
    amount: str
    unit: str
    at: Moment


@dataclass(frozen=True, slots=True)
class Tagged:
    """One word of the person's own on one record: a row of `table`, on diary days (ordinals).

    `last_day` is None for days that go on.
    """

    label: str
    table: str
    row_id: int
    first_day: int
    last_day: int | None
