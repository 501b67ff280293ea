"""What stands beside a value in the columns that few files have: mark, site, tags, meter."""

from __future__ import annotations

import re
from collections.abc import Callable

from app.domain.marks import Mark
from app.domain.numerals import plain_number
from app.exchange.columns import Columns
from app.exchange.file_read import More, RowRefused
from app.exchange.mark_words import MarkWords
from app.exchange.recipe import MarkAs

# Mark, minutes after the meal, note and the rest, from a row, its code, its note and its offset.
Beside = Callable[
    [list[str], MarkAs, str | None, int | None], tuple[Mark, int | None, str | None, More | None]
]

_LONGEST_AFTER_MIN = 24 * 60
_BETWEEN_TAGS = re.compile("[;,]")


def beside_reader(columns: Columns, marks: MarkWords) -> Beside | None:
    """A function that reads those columns of one row; None for a file that has none of them."""
    at = columns.at
    mark_at, after_at = at.get("mark"), at.get("minutes_after")
    rest_at = tuple(at[role] for role in ("site", "tags", "meter") if role in at)
    if mark_at is None and after_at is None and not rest_at:
        return None
    roles = [role for role in ("site", "tags", "meter") if role in at]
    known: dict[tuple[int | None, tuple[str, ...]], More | None] = {}

    def read(
        fields: list[str], said: MarkAs, note: str | None, offset: int | None
    ) -> tuple[Mark, int | None, str | None, More | None]:
        mark, after = said.mark, said.minutes_after
        if mark_at is not None and (word := fields[mark_at]):
            mark = marks[word] if marks[word] is not Mark.NONE else mark
            if word in marks.unknown:
                # Kept where a person reads it: no row is lost for a word, nor the word.
                note = f'{note + "; " if note else ""}mark in the file: "{word.strip()}"'
        if after_at is not None and (text := fields[after_at].strip()):
            after = _minutes(text)
        texts = tuple([fields[place].strip() for place in rest_at])
        key = (offset, texts)
        if key not in known:
            known[key] = _more(offset, dict(zip(roles, texts, strict=True)))
        return mark, after, note, known[key]

    return read


def _minutes(text: str) -> int:
    number = plain_number(text)
    if number is None or not number.isdigit() or int(number) > _LONGEST_AFTER_MIN:
        raise RowRefused(f'"{text[:40]}" is no number of minutes after a meal')
    return int(number)


def _more(offset: int | None, texts: dict[str, str]) -> More | None:
    if offset is None and not any(texts.values()):
        return None
    tags = (tag.strip() for tag in _BETWEEN_TAGS.split(texts.get("tags", "")))
    return More(
        offset_min=offset,
        site=texts.get("site") or None,
        tags=tuple(dict.fromkeys(filter(None, tags))),
        meter=texts.get("meter") or None,
    )
