"""A record of a meter's memory with its stamp, and a stretch of them whose clock looks wrong."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

Kind = Literal["factory", "future", "half_day", "summer_time", "home_time", "local_time", "jump"]


@dataclass(frozen=True, slots=True)
class Stamped:
    """One record in the order of its memory.

    `shown` is the naive wall time that the meter showed; `instant` (UTC seconds) and `wall` what
    the diary holds it for, None where it is undated. A record that is not `free` was repaired, or
    its time was given by hand: no detector moves it.
    """

    id: int
    order: int
    shown: datetime | None
    instant: int | None
    wall: datetime | None
    zone: str
    mark: str
    entered_at: int
    free: bool = True

    @property
    def minute(self) -> int | None:
        """The minute of the day that was shown."""
        return None if self.shown is None else self.shown.hour * 60 + self.shown.minute

    @property
    def believed(self) -> datetime | None:
        """The wall time that stands until something speaks against it."""
        return self.shown if self.free else self.wall


@dataclass(frozen=True, slots=True)
class Stretch:
    """A run of records, by place in the memory (both ends included), and what looks wrong.

    `shift_s` is what has to be added to the stamps, None where nothing says. `evidence` is the sum
    of log ratios, natural, of the usual times of day after and before the shift; 0 where the order
    of the memory alone speaks. `zone` is where the wall times should belong to.
    """

    kind: Kind
    first: int
    last: int
    shift_s: int | None = None
    evidence: float = 0.0
    zone: str | None = None

    @property
    def n(self) -> int:
        """How many records it has."""
        return self.last - self.first + 1
