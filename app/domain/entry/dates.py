"""Dates in a typed line: in figures, by the name of the month or the weekday, from today."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

from app.domain.entry.clocks import Day, When, clock_at, read_clock
from app.domain.entry.found import Found
from app.domain.entry.tokens import Line, phrase_at
from app.domain.entry.words import Words

_YEAR_FIRST = re.compile(r"(\d{4})([-/.])(\d{1,2})\2(\d{1,2})(?:t(.*))?")
_YEAR_LAST = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})")
_YEARLESS = re.compile(r"(\d{1,2})/(\d{1,2})")
_DAY = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?")
_FIRST_YEAR, _LAST_YEAR = 1970, 2199


def stamp_at(line: Line, at: int, today: date, order: str) -> Found[When] | None:
    """A date in figures, with a time hanging on it or without."""
    if at >= len(line.tokens) or line.tokens[at].kind != "number":
        return None
    text = line.tokens[at].text
    if found := _YEAR_FIRST.fullmatch(text):
        on = _date(int(found[1]), int(found[3]), int(found[4]))
        clock = read_clock(found[5]) if found[5] is not None else None
        bad = on is None or (found[5] is not None and clock is None)
        problem = f'"{text}" is not a date that exists.' if bad else None
        kind = "date" if found[5] is None else "time"
        return Found(kind, at, at + 1, When(day=Day(on=on), clock=clock), problem)
    if found := _YEAR_LAST.fullmatch(text):
        parts = [int(found[1]), int(found[3]), int(found[4])]
        year, month, day = _ordered(parts, order if len(found[4]) == 2 or order == "mdy" else "dmy")
        on = _date(year + 2000 * (year < 100), month, day)
    elif found := _YEARLESS.fullmatch(text):
        first, second = int(found[1]), int(found[2])
        day, month = (first, second) if order == "dmy" else (second, first)
        on = _latest(month, day, today)
    else:
        return None
    said = {"dmy": "day, month", "mdy": "month, day", "ymd": "year, month, day"}[order]
    problem = None if on else f'"{text}" is not a date in the order {said}.'
    return Found("date", at, at + 1, When(day=Day(on=on)), problem)


def named_day_at(line: Line, at: int, words: Words, today: date) -> Found[When] | None:
    """Read "yesterday", "last night", "on Tuesday", "12 March" at token `at`."""
    if part := phrase_at(line, at, words.day_parts):
        (ahead, first, last), stop = part
        return Found("date", at, stop, When(day=Day(ahead=ahead, hours=(first, last))))
    if relative := phrase_at(line, at, words.relative_days):
        return Found("date", at, relative[1], When(day=Day(ahead=relative[0])))
    last = line.is_word(at, words.last)
    name = at + 1 if last else at
    if line.is_word(name, words.weekdays):
        weekday = words.weekdays[line.tokens[name].text]
        return Found("date", at, name + 1, When(day=Day(weekday=weekday, before_today=last)))
    if line.is_word(name, words.short_weekdays) and (last or _by_a_time(line, name, words)):
        weekday = words.short_weekdays[line.tokens[name].text]
        return Found("date", at, name + 1, When(day=Day(weekday=weekday, before_today=last)))
    return _month_day(line, at, words, today)


def _by_a_time(line: Line, at: int, words: Words) -> bool:
    """Whether a short weekday name stands by a time or after "on": else it is a plain word."""
    if line.is_word(at - 1, words.on):
        return True
    after = at + 1 + line.is_word(at + 1, words.at)
    if clock_at(line, after, words) is not None:
        return True
    before = line.tokens[at - 1] if at else None
    if before is None:
        return False
    return ":" in before.text or before.text in ("am", "pm", "m")


def _month_day(line: Line, at: int, words: Words, today: date) -> Found[When] | None:
    """Read "12 Mar", "12th of March 2026", "March 12"."""
    month_at, day_at, stop = at, at + 1, at + 2
    if not line.is_word(at, words.months):
        month_at = at + 1 + line.is_word(at + 1, words.joining)
        day_at, stop = at, month_at + 1
    if not line.is_word(month_at, words.months) or day_at >= len(line.tokens):
        return None
    day_text = _DAY.fullmatch(line.tokens[day_at].text)
    if day_text is None or not 1 <= int(day_text[1]) <= 39:
        return None
    month, day = words.months[line.tokens[month_at].text], int(day_text[1])
    year_text = line.tokens[stop].text if stop < len(line.tokens) else ""
    if re.fullmatch(r"\d{4}", year_text) and _FIRST_YEAR <= int(year_text) <= _LAST_YEAR:
        on, stop = _date(int(year_text), month, day), stop + 1
    else:
        on = _latest(month, day, today)
    found: Found[When] = Found("date", at, stop, When(day=Day(on=on)))
    if day_at < month_at and _may_be_day(line, stop):
        both = f"{found.typed(line)} {line.tokens[stop].text}"
        problem = f'"{both}" can be read as two dates; write the date in figures, as 2026-05-31.'
        return replace(found, problem=problem)
    return (
        found if on else replace(found, problem=f'"{found.typed(line)}" is not a date that exists.')
    )


def _may_be_day(line: Line, at: int) -> bool:
    """Whether a bare number after "5 May" may be its day instead: "5 May 12"."""
    if not _is_bare_number(line, at):
        return False
    text = line.tokens[at].text
    return text.isdecimal() and len(text) <= 2 and 1 <= int(text) <= 31


def _is_bare_number(line: Line, at: int) -> bool:
    """Whether token `at` is a number without a unit of glucose behind it."""
    if at >= len(line.tokens) or line.tokens[at].kind != "number":
        return False
    return at + 1 >= len(line.tokens) or line.tokens[at + 1].kind != "unit"


def _ordered(parts: list[int], order: str) -> tuple[int, int, int]:
    by_letter = dict(zip(order, parts, strict=True))
    return by_letter["y"], by_letter["m"], by_letter["d"]


def _latest(month: int, day: int, today: date) -> date | None:
    """The latest such day that is not after today, 29 February included."""
    years = range(today.year, today.year - 9, -1)
    found = (_date(year, month, day) for year in years)
    return next((on for on in found if on is not None and on <= today), None)


def _date(year: int, month: int, day: int) -> date | None:
    try:
        found = date(year, month, day)
    except ValueError:
        return None
    return found if _FIRST_YEAR <= year <= _LAST_YEAR else None
