"""What goes into the entry line's reader and what comes out of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.domain.clock import Moment
    from app.domain.errors import Question
    from app.domain.glucose import Glucose, Unit
    from app.domain.marks import Mark


@dataclass(frozen=True, slots=True)
class Piece:
    """One understood bit of a typed line, for showing beside it.

    `start` and `end` are the span in the typed text. `kind` is value, unit, mark, minutes_after,
    time, date, site, hands, tag, note, sure (the words that keep an odd value), or unclear (what
    stands in the way of saving). `means` says it in plain words.
    """

    start: int
    end: int
    kind: str
    text: str
    means: str


@dataclass(frozen=True, slots=True)
class EntryContext:
    """What the line is read against: the moment of typing and the person's own settings."""

    now: datetime
    zone: str
    unit: Unit
    date_order: str = "dmy"
    known_tags: tuple[str, ...] = ()
    day_start: int = 0

    def __post_init__(self) -> None:
        if self.now.tzinfo is None:
            raise ValueError(f"now must be an aware time: now={self.now!r}")


@dataclass(frozen=True, slots=True)
class Entry:
    """A typed line as understood; it can be saved when nothing is asked and nothing is wrong.

    `moment` is None while a question about the time is open; with no time typed it is now.
    `problems` are sentences, each of them a reason why the line can't be saved as it stands.
    """

    pieces: tuple[Piece, ...]
    glucose: Glucose | None
    moment: Moment | None
    time_from: str
    mark: Mark
    after_min: int | None
    site: str | None
    site_detail: str | None
    hands: str
    tags: tuple[str, ...]
    note: str | None
    questions: tuple[Question, ...]
    problems: tuple[str, ...]

    @property
    def is_ready(self) -> bool:
        """Whether it can be saved as it stands."""
        return not self.questions and not self.problems
