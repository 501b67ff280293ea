"""A line half understood: which tokens are taken, what was made of them, what is still asked."""

from __future__ import annotations

from dataclasses import dataclass, field

from app.domain.entry.records import Piece
from app.domain.entry.tokens import Line
from app.domain.entry.words import Words
from app.domain.errors import Question


@dataclass(slots=True)
class Draft:
    """The one thing that changes while a line is read."""

    line: Line
    words: Words
    taken: list[bool]
    pieces: list[Piece] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)

    def say(self, kind: str, first: int, stop: int, means: str) -> None:
        """Take tokens `first` up to but not with `stop` as one understood piece."""
        tokens = self.line.tokens
        self.taken[first:stop] = [True] * (stop - first)
        self.put(kind, tokens[first].start, tokens[stop - 1].end, means)

    def put(self, kind: str, start: int, end: int, means: str) -> None:
        """Add a piece for a span of the typed text."""
        self.pieces.append(Piece(start, end, kind, self.line.typed[start:end], means))

    def left(self) -> list[int]:
        """The words and numbers that nothing has taken."""
        return [i for i, taken in enumerate(self.taken) if not taken]
