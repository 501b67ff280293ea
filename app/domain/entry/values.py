"""Which of the numbers in a line is the reading, which is the time, and which belong to the note.

A number is the reading when it carries a unit or a sign; else every way to share out the numbers
is tried (one reading, at most one time, the rest behind a word of the note), and only where one way
is left is it taken. Two ways, or none, is a question.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from app.domain.entry.clocks import Clock, clock_of
from app.domain.entry.found import rewritten
from app.domain.entry.sense import fits
from app.domain.entry.tokens import Line, Token, phrase_at
from app.domain.entry.words import Words
from app.domain.errors import Question
from app.domain.glucose import Bound, Unit
from app.domain.numerals import plain_number

_LEADING_ZERO = re.compile(r"0\d(?:\d\d|\.\d\d)")


@dataclass(frozen=True, slots=True)
class Number:
    """A bare number in the line, from token `first` up to but not with `stop`."""

    first: int
    at: int
    stop: int
    plain: str
    unit: Unit | None = None
    whole_unit: bool = False  # "mg/dL" said in full: "mg" alone may be a medicine's
    bound: Bound = Bound.EXACT
    behind_word: bool = False
    behind_at: bool = False
    is_amount: bool = False
    is_said: bool = False  # "over 30" may be of anything, ">30" is a meter's
    clock: Clock | None = None

    @property
    def is_marked(self) -> bool:
        """Whether it says itself that it is the reading."""
        has_sign = self.bound is not Bound.EXACT and not (self.is_said or self.is_amount)
        return self.whole_unit or has_sign

    def span(self, line: Line) -> tuple[int, int]:
        """Its characters in the typed text, sign and unit included."""
        return line.tokens[self.first].start, line.tokens[self.stop - 1].end

    def typed(self, line: Line) -> str:
        """Its text as typed, sign and unit included."""
        start, end = self.span(line)
        return line.typed[start:end]


@dataclass(frozen=True, slots=True)
class Share:
    """How the numbers were shared out: the reading, the time; the rest is note, unless asked."""

    reading: Number | None = None
    clock: Number | None = None
    question: Question | None = None


def unit_of(text: str) -> tuple[Unit, bool]:
    """The unit that a unit token names, and whether it says it in full."""
    unit = Unit.MG_DL if text.startswith("mg") else Unit.MMOL_L
    return unit, "/" in text or "per" in text


def number_at(line: Line, at: int, taken: Sequence[bool], words: Words) -> Number | None:
    """The number at token `at` with its sign, its unit and what stands round it."""
    token = line.tokens[at]
    plain = plain_number(token.text) if token.kind == "number" else None
    if plain is None:
        return None
    first, bound = _sign_before(line, at, words)
    stop, unit, whole = at + 1, None, False
    if stop < len(line.tokens) and line.tokens[stop].kind == "unit" and _close(line, stop):
        unit, whole = unit_of(line.tokens[stop].text)
        stop += 1
    behind_at = line.is_word(first - 1, words.at)
    lead = first - 1
    behind_word = (
        first > 0
        and _close(line, first)
        and line.tokens[lead].kind in ("word", "mixed")
        and not (taken[lead] or behind_at or line.tokens[lead].text in words.screen)
        and not line.is_word(lead, words.reading | words.joining)
    )
    amount_follows = line.is_word(at + 1, words.amounts) and not taken[at + 1]
    is_share = line.plain[token.end : token.end + 1] == "%"
    if is_share or (amount_follows and _is_no_reading(line, at, words)):
        return None
    return Number(
        first, at, stop, plain, unit, whole, bound, behind_word, behind_at,
        amount_follows,
        bound is not Bound.EXACT and line.tokens[first].kind == "word",
        clock_of(token.text, hour_alone=behind_at),
    )  # fmt: skip


def share_out(line: Line, numbers: Sequence[Number], unit: Unit, *, wants_time: bool) -> Share:
    """Find the one way to share out the numbers, or ask."""
    ways = _ways(line, numbers, unit, wants_time=wants_time)
    if len(ways) == 1:
        return Share(*ways[0])
    if len(numbers) == 1 and wants_time and is_only_a_time(line, numbers[0]):
        return Share(clock=numbers[0])
    usable = [one for one in numbers if not one.is_amount or not one.behind_word]
    if len(numbers) == 1 or not usable:
        return Share()
    if not ways:
        ways = [(one, None) for one in usable]
        ways += [
            (one, other)
            for one in usable
            for other in usable
            if wants_time and other is not one and _may_be_hour(line, other)
        ]
    if not ways:
        return Share()
    asks = f"Which number is the reading: {_listed([one.typed(line) for one in usable])}?"
    answers = dict.fromkeys(_answer(line, numbers, *way) for way in ways)
    return Share(question=Question("reading", asks, tuple(answers)))


def _ways(
    line: Line, numbers: Sequence[Number], unit: Unit, *, wants_time: bool
) -> list[tuple[Number, Number | None]]:
    free = [one for one in numbers if not one.behind_word]
    marked = [one for one in numbers if one.is_marked]
    able = marked or [one for one in free if not one.is_amount and not is_only_a_time(line, one)]
    if not able and not free:
        able = [one for one in numbers if not one.is_amount]
    if len(marked) > 1:
        return []
    ways: dict[int, list[tuple[Number, Number | None]]] = {}
    for reading in able:
        rest = [one for one in free if one is not reading and not one.is_amount]
        clock = rest[0] if rest else None
        if len(rest) > 1 or (clock and (clock.clock is None or not wants_time)):
            continue
        if clock and (clock.is_marked or clock.unit or (reading.behind_at and not clock.behind_at)):
            continue
        others = [one for one in numbers if one is not reading and one is not clock]
        if any(_may_be_meant(one, unit) for one in others):
            continue
        if reading.is_said and others and not reading.whole_unit:
            continue
        if reading.unit and not reading.whole_unit and others and not reading.behind_word:
            continue  # "500 mg something 112": the medicine or the reading?
        ways.setdefault(fits(reading.plain, reading.bound, reading.unit, unit), []).append(
            (reading, clock)
        )
    return ways[max(ways)] if ways else []


def _may_be_meant(other: Number, unit: Unit) -> bool:
    """Whether a number left for the note looks like a second reading: 6.9 for someone in mmol/L."""
    if other.is_amount or other.unit or unit is not Unit.MMOL_L or "." not in other.plain:
        return False
    return fits(other.plain, other.bound, None, unit) == 2


def is_only_a_time(line: Line, number: Number) -> bool:
    """Whether a number can't be a reading: 0650 and 06.50 are written as times are."""
    text = line.tokens[number.at].text
    return number.clock is not None and _LEADING_ZERO.fullmatch(text) is not None


def _may_be_hour(line: Line, number: Number) -> bool:
    """Whether a number may be a time in an answer: "7.2 18", but not "7.2 2 biscuits"."""
    ahead = line.tokens[number.stop].kind if number.stop < len(line.tokens) else ""
    is_bare = not (number.unit or number.is_amount or number.is_marked or number.behind_word)
    return is_bare and ahead != "word" and _hour_of(line, number) is not None


def _hour_of(line: Line, number: Number) -> Clock | None:
    return number.clock or clock_of(line.tokens[number.at].text, hour_alone=True)


def _answer(line: Line, numbers: Sequence[Number], reading: Number, clock: Number | None) -> str:
    changes = []
    for one in numbers:
        if one is reading or (one.is_amount and one.behind_word):
            continue
        time = _hour_of(line, one) if one is clock else None
        new = f"{time.hour:02d}:{time.minute:02d}" if time else f'"{one.typed(line)}"'
        changes.append((*one.span(line), new))
    if reading.is_amount:  # else "4 units" would stay an amount
        token = line.tokens[reading.stop]
        changes.append((token.start, token.end, f'"{line.typed[token.start : token.end]}"'))
    return rewritten(line, changes)


def _is_no_reading(line: Line, at: int, words: Words) -> bool:
    """Whether an amount can't be a reading with a word behind it: "45g", "2 h"."""
    unit = line.tokens[at + 1]
    is_glued = unit.start == line.tokens[at].end
    return is_glued or unit.text in words.hours | words.minutes


def _sign_before(line: Line, at: int, words: Words) -> tuple[int, Bound]:
    if at and line.tokens[at - 1].kind == "sign" and _close(line, at):
        sign = line.tokens[at - 1].text
        return at - 1, {"<": Bound.BELOW, ">": Bound.ABOVE}.get(sign, Bound.EXACT)
    for size in (2, 1):
        said = phrase_at(line, at - size, words.bounds) if at >= size else None
        if said and said[1] == at and _close(line, at):
            return at - size, said[0]
    return at, Bound.EXACT


def _close(line: Line, at: int) -> bool:
    gap = line.plain[line.tokens[at - 1].end : line.tokens[at].start]
    return not gap.strip(" =:")


def _listed(texts: Sequence[str]) -> str:
    return f"{', '.join(texts[:-1])} or {texts[-1]}" if len(texts) > 1 else texts[0]


def is_odd_number(token: Token) -> bool:
    """Whether a token looks like a number and is none: "1e400", "-3", "5.6.7", "7.2x"."""
    if token.kind == "mixed":
        return True
    return token.kind == "number" and plain_number(token.text) is None
