"""A first look at a file, for choosing its columns: its records as they are cut."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice

from app.domain.errors import Question
from app.domain.numerals import plain_number
from app.exchange.columns import columns_by_words, role_of_title
from app.exchange.dates import looks_like_date
from app.exchange.delimiters import find_delimiter
from app.exchange.encodings import decoded
from app.exchange.recipe import Recipe
from app.exchange.records import Sheet, lines_of
from app.exchange.times import clock_time

_LOOKED_AT = 30  # records


@dataclass(frozen=True, slots=True)
class Peek:
    """The text of a file, and its first records where it could be cut.

    `records` are (line from 1, fields); `first` is the place among them where the table begins, the
    first of the commonest width; `roles` is a guess at what the columns are, from 0: by plain words
    in the titles, else by what stands in them.
    """

    encoding: str | None = None
    lines: tuple[str, ...] = ()
    delimiter: str | None = None
    records: tuple[tuple[int, tuple[str, ...]], ...] = ()
    first: int = 0
    roles: tuple[tuple[str, int], ...] = ()

    @property
    def titles(self) -> tuple[str, ...]:
        """The first record of the table: titles, or a row where it has none."""
        return self.records[self.first][1] if self.records else ()

    @property
    def skip(self) -> int:
        """How many lines stand before the table."""
        return self.records[self.first][0] - 1 if self.records else 0

    def signatures(self) -> list[str]:
        """What the file could be known again by: one for each record that could be its header."""
        if self.delimiter is None:
            return []
        return [signature(fields, self.delimiter) for _, fields in self.records]


def peek_at(data: bytes, recipe: Recipe) -> Peek:
    """Decode a file and cut its first records, as far as a recipe and the file itself say how.

    Raises
    ------
    Refused
        For an empty file, one over the size cap, and bytes that are no text.
    """
    text = decoded(data, recipe.encoding)
    if isinstance(text, Question):
        return Peek()
    lines = lines_of(text.text)
    delimiter = recipe.delimiter or find_delimiter(lines, first=recipe.skip)
    if not isinstance(delimiter, str):
        return Peek(text.encoding, tuple(lines))
    sheet = Sheet(lines[: recipe.skip + 400], delimiter, recipe.skip)
    records = tuple((line, tuple(fields)) for line, fields in islice(sheet.records([]), _LOOKED_AT))
    widths = Counter(len(fields) for _, fields in records)
    width = widths.most_common(1)[0][0] if widths else 0
    first = next((at for at, (_, fields) in enumerate(records) if len(fields) == width), 0)
    for at, (_, fields) in enumerate(records):
        known = columns_by_words(fields)
        if known is not None and not isinstance(known, Question):
            return Peek(
                text.encoding, tuple(lines), delimiter, records, at, tuple(known.at.items())
            )
    rows = [fields for _, fields in records[first:]]
    roles = _guessed(rows) if rows else {}
    return Peek(text.encoding, tuple(lines), delimiter, records, first, tuple(roles.items()))


def _guessed(rows: Sequence[Sequence[str]]) -> dict[str, int]:
    """What the columns could be, from the title of each, else from what most of its fields are."""
    found: dict[str, int] = {}
    titles, width = rows[0], len(rows[0])
    for place in range(width):
        role = role_of_title(titles[place])
        if role is not None:
            found.setdefault(role, place)
    for place in range(width):
        if place in found.values():
            continue
        kinds = Counter(_kind(row[place]) for row in rows if place < len(row))
        kind, count = kinds.most_common(1)[0]
        if kind and 2 * count > len(rows):
            found.setdefault(kind, place)
    said_when = "datetime" in found and titles[found["datetime"]].strip().casefold() == "when"
    if said_when and "date" in found and "mark" not in found:
        found["mark"] = found.pop("datetime")  # beside a date it is the meal, as in plain headers
    if "datetime" in found:
        found.pop("date", None)
        found.pop("time", None)
    return found


def _kind(field: str) -> str:
    """What a field looks like; a number with a decimal is a value, a whole one may be a number."""
    text = field.strip()
    if looks_like_date(text):
        return "date"
    if ":" in text and clock_time(text) is not None:
        return "time"
    day, *rest = re.split("[ T]", text, maxsplit=1)
    if rest and looks_like_date(day) and clock_time(rest[0]) is not None:
        return "datetime"
    plain = plain_number(text)
    return "value" if plain is not None and "." in plain else ""


def signature(titles: Sequence[str], delimiter: str) -> str:
    """What files of one source have in common: the titles of their columns, and what parts them.

    Empty for titles that hold a digit alone: those are values.
    """
    named = [title.strip().casefold() for title in titles]
    while named and not named[-1]:
        named.pop()
    if len(named) < 2 or any(title.replace(".", "").isdigit() for title in named):
        return ""
    return hashlib.sha256("\0".join([delimiter, *named]).encode()).hexdigest()
