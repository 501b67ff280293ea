"""What a recogniser hands back, and what all of them share: durations and replies in full."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from app.domain.entry.tokens import Line, phrase_at
from app.domain.entry.words import Words
from app.domain.errors import Question
from app.domain.numerals import plain_number

T = TypeVar("T", covariant=True)

_HOURS_MINUTES = re.compile(r"(\d{1,2})h(\d{1,2})")
LONGEST_DURATION_MIN = 48 * 60


@dataclass(frozen=True, slots=True)
class Found(Generic[T]):
    """Something recognised: tokens `first` up to but not with `stop`, and what it stands for."""

    kind: str
    first: int
    stop: int
    what: T
    problem: str | None = None

    def span(self, line: Line) -> tuple[int, int]:
        """Its characters in the typed text."""
        return line.tokens[self.first].start, line.tokens[self.stop - 1].end

    def typed(self, line: Line) -> str:
        """Its words as typed."""
        start, end = self.span(line)
        return line.typed[start:end]


def duration_at(line: Line, at: int, words: Words) -> tuple[int, int] | None:
    """A duration in whole minutes that starts at token `at`, and the token after it."""
    if at >= len(line.tokens):
        return None
    token = line.tokens[at]
    if token.kind == "number" and (glued := _HOURS_MINUTES.fullmatch(token.text)):
        minutes = int(glued[1]) * 60 + int(glued[2])
        return _bounded(minutes, at + 1 + line.is_word(at + 1, words.minutes))
    amount: float | None = None
    stop = at + 1
    if token.kind == "number" and (plain := plain_number(token.text)):
        amount = float(plain)
    elif counted := phrase_at(line, at, words.counts):
        amount, stop = counted
    if amount is None or amount > LONGEST_DURATION_MIN:
        return None
    if line.is_word(stop, words.minutes):
        return _bounded(round(amount), stop + 1)
    if not line.is_word(stop, words.hours):
        return None
    minutes, stop = round(amount * 60), stop + 1
    more = line.tokens[stop].text if stop < len(line.tokens) else ""
    if more.isdecimal() and len(more) <= 2 and line.is_word(stop + 1, words.minutes):
        return _bounded(minutes + int(more), stop + 2)
    return _bounded(minutes, stop)


def which(line: Line, kind: str, asks: str, found: Sequence[Found[object]]) -> Question:
    """Ask which of several is meant; each answer is the whole line with the others in quotes."""
    answers = [
        rewritten(
            line,
            [(*other.span(line), f'"{other.typed(line)}"') for other in found if other is not one],
        )
        for one in found
    ]
    return Question(kind, asks, tuple(dict.fromkeys(answers)))


def rewritten(line: Line, changes: Sequence[tuple[int, int, str]]) -> str:
    """The typed line with some spans replaced, for an answer that can be typed as it stands."""
    text = line.typed
    for start, end, new in sorted(changes, reverse=True):
        text = text[:start] + new + text[end:]
    return " ".join(text.split())


def _bounded(minutes: int, stop: int) -> tuple[int, int] | None:
    return (minutes, stop) if minutes <= LONGEST_DURATION_MIN else None
