"""A typed line cut into words and numbers, each with its span in the text as typed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeVar

from app.domain.entry.words import Phrase, Words
from app.domain.numerals import ascii_digits

T = TypeVar("T")

# A number takes in every sign that could be a part of it, so that "1e400", "-3", "5.6.7" or ".5"
# is seen whole and refused, not read as the 1, 3, 5 or 6 inside it.
_SPLIT = r"""
    (?P<sure>--sure\b)
  | (?P<tail>(?:(?<!\S)--(?!\S)|;).*|\b(?:{note})\s*:.*)
  | (?P<quoted>["“”„«»][^"“”„«»]*["“”„«»]?)
  | (?P<tag>\#[^\s\#,;"]+)
  | (?P<number>(?:(?:(?<!\S)|(?<=[<>]))[+\-−±~≈.,*]|^\s*[+\-−±]\s*)?[0-9]
      (?:[0-9.,:/_+\-−^'’]|[eth](?=[+\-]?[0-9]))*)
  | (?P<unit>(?:mmols?(?:\s*(?:/|per)\s*l(?:itre|iter)?)?|mg(?:\s*(?:/|per)\s*dl)?)(?![^\W_]|/))
  | (?P<sign>[<>]=?|[≤≥])
  | (?P<word>@|[^\s!-/:-@\[-`{{-~0-9][^\s!-/:-@\[-`{{-~]*)
"""
_GLUED = re.compile(r"[^\s!-/:-@\[-`{-~]+|%")
_UNIT_AHEAD = re.compile(r"m(?:mols?|g)(?![^\W_])")
_HALF_DAY = re.compile(r"[ap]\.?\s?m\b")
_CONTROL = dict.fromkeys((*range(32), 127), " ")


@dataclass(frozen=True, slots=True)
class Token:
    """One word or number: `text` is lower case with ASCII digits, the span is in the typed text."""

    kind: str  # number, mixed, word, unit, sign, tag, quoted, tail, sure
    start: int
    end: int
    text: str


@dataclass(frozen=True, slots=True)
class Line:
    """A typed line, the same line plainly written (one character for each), and its tokens."""

    typed: str
    plain: str
    tokens: tuple[Token, ...]

    def words_from(self, at: int, most: int) -> Phrase:
        """Up to `most` words in a row from token `at`, nothing but blanks or hyphens between."""
        found: list[str] = []
        for i in range(at, min(at + most, len(self.tokens))):
            token = self.tokens[i]
            if token.kind != "word" or (found and not self.joined(i)):
                break
            found.append(token.text)
        return tuple(found)

    def joined(self, at: int) -> bool:
        """Whether only blanks, hyphens or an apostrophe stand between token `at` and the last."""
        if not 0 < at < len(self.tokens):
            return False
        gap = self.plain[self.tokens[at - 1].end : self.tokens[at].start]
        return not gap.strip(" -'’=")

    def is_word(self, at: int, words: frozenset[str] | Mapping[str, object]) -> bool:
        """Whether token `at` exists and is one of the words."""
        return 0 <= at < len(self.tokens) and (
            self.tokens[at].kind == "word" and self.tokens[at].text in words
        )


def phrase_at(line: Line, at: int, table: Mapping[Phrase, T]) -> tuple[T, int] | None:
    """The meaning of the longest phrase that starts at token `at`, and the token after it."""
    words = line.words_from(at, 6)
    for size in range(len(words), 0, -1):
        if words[:size] in table:
            return table[words[:size]], at + size
    return None


def plainly(text: str) -> str:
    """The text in lower case, with ASCII digits and plain blanks; as many characters as before."""
    if text.isascii():
        return text.lower().translate(_CONTROL)
    return "".join(_plain_char(char) for char in ascii_digits(text))


def cut(typed: str, words: Words) -> Line:
    """Cut a typed line into tokens."""
    plain = plainly(typed)
    tokens: list[Token] = []
    at = 0
    pattern = _pattern("|".join(sorted(words.note)))
    while found := pattern.search(plain, at):
        kind, text, end = str(found.lastgroup), found.group(), found.end()
        if kind == "number":
            kind, end = _number(plain, found.start(), text, words)
            text = plain[found.start() : end].strip()
        if kind != "word" or not _only_marks(text):
            tokens.append(Token(kind, found.start(), end, text))
        at = max(end, found.start() + 1)
    return Line(typed, plain, tuple(tokens))


@lru_cache(maxsize=8)
def _pattern(note: str) -> re.Pattern[str]:
    return re.compile(_SPLIT.format(note=note), re.VERBOSE | re.DOTALL)


def _number(plain: str, start: int, text: str, words: Words) -> tuple[str, int]:
    """Where a number ends, and whether letters that mean nothing to us hang on it."""
    end = start + len(text.rstrip(".,:/_+-−^'’"))
    hanging = _GLUED.match(plain, end)
    if hanging is None or _UNIT_AHEAD.match(plain, end):
        return "number", end
    letters = hanging.group()
    if letters == "z" and ":" in text:
        return "number", hanging.end()
    known = (words.amounts, words.minutes, words.hours, words.days, words.months)
    if any(letters in table for table in known) or _HALF_DAY.match(plain, end):
        return "number", end
    return "mixed", hanging.end()


def _plain_char(char: str) -> str:
    if "！" <= char <= "～":  # the full-width forms of ASCII, 0xFEE0 above it
        char = chr(ord(char) - 0xFEE0)
    if char.isspace() or unicodedata.category(char) in ("Cc", "Cf"):
        return " "
    lower = char.lower()
    return lower if len(lower) == 1 else char


def _only_marks(text: str) -> bool:
    return text != "@" and all(unicodedata.category(char)[0] in "PZC" for char in text)
