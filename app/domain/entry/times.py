"""Recognisers of times and dates in a typed line; what they come to is settled elsewhere."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.domain.entry.found import Found, duration_at
from app.domain.entry.tokens import Line, phrase_at
from app.domain.entry.words import Words

_OFFSET = r"(?P<offset>z|[+\-−]\d{2}:?\d{2})?"
_CLOCK = re.compile(r"(?P<h>\d{1,2}):(?P<m>\d{2})(?::(?P<s>\d{2}))?" + _OFFSET)
_CLOCK_LIKE = re.compile(r"\d+:[\d:]*(?:[+\-−]\d{2}:?\d{0,2})?")
_HALF_DAY = re.compile(r"(\d{1,2})(?:[:.](\d{2}))?\s*([ap])\.?\s?m\b\.?")
_LETTERED = re.compile(r"(\d{1,2})h(\d{2})")
_POINTED = re.compile(r"(\d{1,2})\.(\d{2})")
_BARE = re.compile(r"(\d{1,2})(\d{2})")
_YEAR_FIRST = re.compile(r"(\d{4})([-/.])(\d{1,2})\2(\d{1,2})(?:t(.*))?")
_YEAR_LAST = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})")
_YEARLESS = re.compile(r"(\d{1,2})/(\d{1,2})")
_DAY = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?")
_FIRST_YEAR, _LAST_YEAR = 1970, 2199


@dataclass(frozen=True, slots=True)
class Clock:
    """A time of day as typed: 24:00 is hour 24, `either_half` is a bare hour such as "at 7"."""

    hour: int
    minute: int = 0
    second: int = 0
    offset_min: int | None = None
    either_half: bool = False
    either_end: bool = False  # "midnight", which may begin a day or end it


@dataclass(frozen=True, slots=True)
class Day:
    """A day as typed: a date, days from today, a weekday, or a part of a day with its hours."""

    on: date | None = None
    ahead: int | None = None
    weekday: int | None = None
    before_today: bool = False
    hours: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class When:
    """A day, a clock time, both, or a span of minutes before now."""

    day: Day | None = None
    clock: Clock | None = None
    ago_min: int | None = None


def time_at(line: Line, at: int, words: Words, today: date, order: str) -> Found[When] | None:
    """A time or a date that starts at token `at`, with the small words before it."""
    first = at
    while line.is_word(first, words.at | words.on) and first < at + 1:
        first += 1
    found = _stretch(line, first, words) or _stamp(line, first, today, order)
    found = found or _clock(line, first, words) or _named_day(line, first, words, today)
    if found is None or first == at:
        return found
    return replace(found, first=at)


def clock_of(text: str, *, hour_alone: bool = False) -> Clock | None:
    """The time that a bare number can be: 1820, 650, 18.20; with `hour_alone` also 7."""
    found = _POINTED.fullmatch(text) or _BARE.fullmatch(text)
    if found:
        clock = Clock(int(found[1]), int(found[2]))
        return clock if is_possible(clock) else None
    if hour_alone and text.isdecimal() and len(text) <= 2 and int(text) < 24:
        return Clock(int(text), either_half=1 <= int(text) <= 12)
    return None


def is_possible(clock: Clock) -> bool:
    """Whether there is such a time; 24:00 is, as the end of the day."""
    if clock.hour == 24:
        return clock.minute == clock.second == 0
    return clock.hour < 24 and clock.minute < 60 and clock.second < 60


def _stretch(line: Line, at: int, words: Words) -> Found[When] | None:
    """Read "10 min ago", "an hour ago", "2 days ago", "now"."""
    if now := phrase_at(line, at, words.now):
        return Found("time", at, now[1], When(ago_min=0))
    timed = duration_at(line, at, words)
    if timed and line.is_word(timed[1], words.ago):
        return Found("time", at, timed[1] + 1, When(ago_min=timed[0]))
    counted = phrase_at(line, at, words.counts)
    token = line.tokens[at] if at < len(line.tokens) else None
    if counted is None and token and token.kind == "number" and token.text.isdecimal():
        counted = (float(token.text[:6]), at + 1)
    if counted and line.is_word(counted[1], words.days) and line.is_word(counted[1] + 1, words.ago):
        what = When(day=Day(ahead=-int(min(counted[0], 99999))))
        return Found("date", at, counted[1] + 2, what)
    return None


def _clock(line: Line, at: int, words: Words) -> Found[When] | None:
    if noon := phrase_at(line, at, words.times):
        hour, stop = noon
        clock = Clock(0 if hour == 24 else hour, either_end=hour == 24)
        return Found("time", at, stop, When(clock=clock))
    if at >= len(line.tokens) or line.tokens[at].kind != "number":
        return None
    token = line.tokens[at]
    half = _HALF_DAY.match(line.plain, token.start)
    if half and half.end() > token.end:
        return _half_day(line, at, half)
    lettered = _LETTERED.fullmatch(token.text)
    text = f"{lettered[1]}:{lettered[2]}" if lettered else token.text
    if not _CLOCK_LIKE.fullmatch(text) and not _CLOCK.fullmatch(text):
        return None
    read = _read_clock(text)
    problem = None if read else f'"{token.text}" is not a time of day.'
    return Found("time", at, at + 1, When(clock=read), problem)


def _half_day(line: Line, at: int, half: re.Match[str]) -> Found[When]:
    """Twelve-hour time: 12 am is midnight, 12 pm is noon."""
    hour, minute = int(half[1]), int(half[2] or 0)
    stop = at + 1
    while stop < len(line.tokens) and line.tokens[stop].start < half.end():
        stop += 1
    if not 1 <= hour <= 12 or minute > 59:
        problem = f'"{half.group().strip()}" is not a time of day.'
        return Found("time", at, stop, When(), problem)
    clock = Clock(hour % 12 + 12 * (half[3] == "p"), minute)
    return Found("time", at, stop, When(clock=clock))


def _read_clock(text: str) -> Clock | None:
    found = _CLOCK.fullmatch(text)
    if found is None:
        return None
    offset = found["offset"]
    minutes: int | None = None
    if offset == "z":
        minutes = 0
    elif offset:
        minutes = (int(offset[1:3]) * 60 + int(offset[-2:])) * (1 if offset[0] == "+" else -1)
    clock = Clock(int(found["h"]), int(found["m"]), int(found["s"] or 0), minutes)
    return clock if is_possible(clock) else None


def _stamp(line: Line, at: int, today: date, order: str) -> Found[When] | None:
    """A date in figures, with a time hanging on it or without."""
    if at >= len(line.tokens) or line.tokens[at].kind != "number":
        return None
    text = line.tokens[at].text
    if found := _YEAR_FIRST.fullmatch(text):
        on = _date(int(found[1]), int(found[3]), int(found[4]))
        clock = _read_clock(found[5]) if found[5] is not None else None
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


def _named_day(line: Line, at: int, words: Words, today: date) -> Found[When] | None:
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
    if _clock(line, after, words) is not None:
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
    return (
        found if on else replace(found, problem=f'"{found.typed(line)}" is not a date that exists.')
    )


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


def before(day: date, days: int) -> date | None:
    """The day so many days earlier, None where the calendar ends."""
    try:
        return day - timedelta(days=days)
    except OverflowError:
        return None
