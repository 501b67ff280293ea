"""The delimiter of a file, found where it is clear-cut and asked where it is not."""

from __future__ import annotations

import re
from collections import Counter

from app.domain.errors import Question
from app.domain.numerals import plain_number
from app.exchange.dates import looks_like_date
from app.exchange.recipe import DELIMITERS
from app.exchange.records import LONGEST_FIELD, Sheet
from app.exchange.times import clock_time

_SAMPLE = 200
_STEADY = 0.4  # least share of records with the same number of fields: titles may stand before
_CLEAR = 0.9  # a second best above this share of the best is no clear-cut case
_SPLIT = re.compile(r"[ T]")


def find_delimiter(lines: list[str], *, first: int = 0) -> str | Question | None:
    """The delimiter that cuts the first lines into equal records of dates, times and numbers.

    Returns
    -------
    str, Question or None
        None for a file of one column; a question where two delimiters do equally well.
    """
    sample = [line[:LONGEST_FIELD] for line in lines[first : first + _SAMPLE]]
    scores = {sign: score for sign in DELIMITERS.values() if (score := _score(sample, sign))}
    if not scores:
        return None
    enough = _CLEAR * max(scores.values())
    winners = [sign for sign, score in scores.items() if score >= enough]
    return winners[0] if len(winners) == 1 else _which(winners, sample[0])


def width_of(sheet: Sheet) -> int:
    """The commonest number of fields among the first records; 0 where there is none."""
    counts = Counter(
        _widths(Sheet(sheet.lines[: sheet.first + _SAMPLE], sheet.delimiter, sheet.first))
    )
    return counts.most_common(1)[0][0] if counts else 0


def _widths(sheet: Sheet) -> list[int]:
    return [len(fields) for _, fields in sheet.records([])]


def _score(sample: list[str], sign: str) -> float:
    """How well a delimiter does: share of equal records, times the typed fields of one, plus 1.

    0 where it can't be the one. A header has no typed field and is not averaged in.
    """
    records = [fields for _, fields in Sheet(sample, sign).records([])]
    counts = Counter(len(fields) for fields in records if len(fields) > 1)
    if not counts:
        return 0.0
    width, count = counts.most_common(1)[0]
    share = count / len(records)
    if share < _STEADY:
        return 0.0
    typed = [sum(map(_is_typed, fields)) for fields in records if len(fields) == width]
    return share * (1.0 + sum(typed) / max(1, sum(number > 0 for number in typed)))


def _is_typed(field: str) -> bool:
    text = field.strip()
    if plain_number(text) is not None or clock_time(text) is not None or looks_like_date(text):
        return True
    day, *rest = _SPLIT.split(text, maxsplit=1)
    return bool(rest) and looks_like_date(day) and clock_time(rest[0]) is not None


def _which(signs: list[str], line: str) -> Question:
    names = {sign: name for name, sign in DELIMITERS.items()}
    return Question(
        "delimiter",
        f'The fields of the file could be told apart in more than one way ("{line.strip()[:80]}"). '
        "Which sign stands between them? Nothing was read.",
        tuple(f"--delimiter {names[sign]}" for sign in signs),
    )
