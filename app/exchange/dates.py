"""Dates of files: one order of day, month and year for a whole file, stated, evident or asked."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime, time
from functools import lru_cache

from app.domain.errors import Question
from app.domain.numerals import ascii_digits
from app.exchange.file_read import RowRefused

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_TOKENS = {
    "YYYY": r"(?P<y>\d{4})",
    "YY": r"(?P<y>\d{2})",
    "MMM": r"(?P<b>[A-Za-z]{3,9})\.?",
    "MM": r"(?P<m>\d{2})",
    "M": r"(?P<m>\d{1,2})",
    "DD": r"(?P<d>\d{2})",
    "D": r"(?P<d>\d{1,2})",
}
_TOKEN = re.compile("YYYY|YY|MMM|MM|M|DD|D|.")
_THREE = re.compile(r"(\d{1,4})\s*([-/. ])\s*(\d{1,2})\s*\2\s*(\d{1,4})\.?")
_COMPACT = re.compile(r"((?:19|20|21)\d\d)()(\d\d)(\d\d)")
_NAMED = (
    re.compile(r"(?P<d>\d{1,2})\.?[-/ ]?(?P<b>[A-Za-z]{3,9})\.?,?[-/ ]?(?P<y>\d{4})"),
    re.compile(r"(?P<b>[A-Za-z]{3,9})\.? (?P<d>\d{1,2}),? (?P<y>\d{4})"),
)


class Dates(dict[str, datetime]):
    """Midnight of each date text, read once; a text that is no date raises `RowRefused`."""

    def __init__(self, read: Callable[[str], date]) -> None:
        super().__init__()
        self._read = read

    def __missing__(self, text: str) -> datetime:
        found = self._read(text)
        if not 1970 <= found.year <= 2199:
            raise RowRefused(f"the year {found.year} lies outside 1970 to 2199")
        self[text] = midnight = datetime.combine(found, time.min)
        return midnight


@lru_cache(maxsize=32)
def date_pattern(form: str) -> re.Pattern[str]:
    """The pattern of a date format such as "DD.MM.YYYY"; ValueError says what is wrong with it."""
    return compiled(form, _TOKENS, _TOKEN, needed=("y", "d"), any_of=("m", "b"))


def compiled(
    form: str,
    tokens: Mapping[str, str],
    token: re.Pattern[str],
    *,
    needed: tuple[str, ...],
    any_of: tuple[str, ...],
) -> re.Pattern[str]:
    """Turn a format of ours into a pattern with one named group for each part."""
    parts = []
    for piece in token.findall(form.strip()):
        if piece not in tokens and piece.isalnum():
            raise ValueError(f'"{piece}" means nothing in "{form}"')
        parts.append(tokens.get(piece) or re.escape(piece))
    try:
        pattern = re.compile("".join(parts), re.ASCII)
    except re.error as problem:  # a group named twice
        raise ValueError(f'"{form}" has the same part twice') from problem
    has = pattern.groupindex
    if not all(name in has for name in needed) or not any(name in has for name in any_of):
        raise ValueError(f'"{form}" lacks a part')
    return pattern


def date_reader(form: str | None, order: str | None) -> Callable[[str], date]:
    """A function that reads one date text by a format, or by an order with any separator."""
    if form is not None:
        pattern = date_pattern(form)
        return lambda text: _by_pattern(_cleaned(text), (pattern,), f"as {form}")
    known = order or "ymd"
    return lambda text: _by_order(_cleaned(text), known)


def decide_order(texts: Mapping[str, int]) -> tuple[str | None, Question | None]:
    """The one order of day, month and year that fits a file, or the question that settles it.

    Parameters
    ----------
    texts : mapping of text to line number
        Each distinct date text with the first line it stands on; those that are no date of three
        numbers are passed over.

    Returns
    -------
    order, question
        One of them is None.
    """
    orders: dict[str, tuple[str, int]] = {}
    unclear = short = None
    for text, line in texts.items():
        parts = _three(_cleaned(text))
        if parts is None:
            continue
        first, second, third = parts
        day_first, month_first = int(first) > 12, int(second) > 12
        if len(first) == 4:
            orders.setdefault("ymd", (text, line))
        elif len(third) < 4:
            short = short or (text, line)
        elif day_first != month_first:
            orders.setdefault("dmy" if day_first else "mdy", (text, line))
        elif not day_first:
            unclear = unclear or (text, line)
    if short is not None:
        return None, _ask(
            f'The year of "{short[0].strip()}" (line {short[1]}) has two digits, so the order of '
            "day, month and year is open. Which order does the file use?",
            "dmy mdy ymd",
        )
    if len(orders) > 1 or ("ymd" in orders and unclear):
        one, two = (*orders.values(), *filter(None, [unclear]))[:2]
        return None, _ask(
            f'The dates of the file contradict each other: "{one[0].strip()}" (line {one[1]}) '
            f'and "{two[0].strip()}" (line {two[1]}) have no order in common. Rows that do not '
            "fit your answer will be refused. Which order does the file use?",
            "dmy mdy ymd",
        )
    if not orders and unclear:
        return None, _ask(
            f'"{unclear[0].strip()}" (line {unclear[1]}) could be day first or month first, and no '
            "date of the file settles it. Which order does the file use?",
            "dmy mdy",
        )
    return next(iter(orders), "ymd"), None


def looks_like_date(text: str) -> bool:
    """Whether a text has the form of a date, in any order."""
    cleaned = _cleaned(text)
    return _three(cleaned) is not None or any(one.fullmatch(cleaned) for one in _NAMED)


def _ask(asks: str, orders: str) -> Question:
    answers = tuple(f"--date-order {order}" for order in orders.split())
    return Question("date_order", f"{asks} Nothing was read.", answers)


def _cleaned(text: str) -> str:
    return ascii_digits(text.strip()).rstrip(",").rstrip()


def _three(text: str) -> tuple[str, str, str] | None:
    found = _THREE.fullmatch(text) or _COMPACT.fullmatch(text)
    return None if found is None else (found[1], found[3], found[4])


def _by_order(text: str, order: str) -> date:
    parts = _three(text)
    if parts is None:
        return _by_pattern(text, _NAMED, "in this file's form")
    if len(parts[0]) == 4 and order != "ymd":
        raise RowRefused(f'the date "{text}" is not in this file\'s order ({order})')
    by_letter = dict(zip(order, parts, strict=True))
    return _calendar(text, by_letter["y"], int(by_letter["m"]), by_letter["d"])


def _by_pattern(text: str, patterns: tuple[re.Pattern[str], ...], form: str) -> date:
    if not text:
        raise RowRefused("the date is missing")
    for pattern in patterns:
        found = pattern.fullmatch(text)
        if found is not None:
            part = found.groupdict()
            month = int(part["m"]) if "m" in part else _month(text, part["b"])
            return _calendar(text, part["y"], month, part["d"])
    raise RowRefused(f'"{text[:40]}" is not a date {form}')


def _month(text: str, name: str) -> int:
    short = name[:3].casefold()
    if short not in _MONTHS:
        raise RowRefused(f'"{name}" in the date "{text[:40]}" is no month')
    return _MONTHS.index(short) + 1


def _calendar(text: str, year: str, month: int, day: str) -> date:
    if len(year) not in (2, 4) or len(day) > 2:
        raise RowRefused(f'"{text[:40]}" is not a date in this file\'s form')
    number = int(year)
    if len(year) == 2:
        number += 1900 if number >= 70 else 2000
    try:
        return date(number, month, int(day))
    except ValueError:
        raise RowRefused(f'the date "{text[:40]}" is not in the calendar') from None
