"""Times of day and days as they are typed, before they are one moment."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from app.domain.entry.found import Found
from app.domain.entry.tokens import Line, phrase_at
from app.domain.entry.words import Words

_OFFSET = r"(?P<offset>z|[+\-−]\d{2}:?\d{2})?"
_CLOCK = re.compile(r"(?P<h>\d{1,2}):(?P<m>\d{2})(?::(?P<s>\d{2}))?" + _OFFSET)
_CLOCK_LIKE = re.compile(r"\d+:[\d:]*(?:[+\-−]\d{2}:?\d{0,2})?")
_HALF_DAY = re.compile(r"(\d{1,2})(?:[:.](\d{2}))?\s*([ap])\.?\s?m\b\.?")
_LETTERED = re.compile(r"(\d{1,2})h(\d{2})")
_POINTED = re.compile(r"(\d{1,2})\.(\d{2})")
_BARE = re.compile(r"(\d{1,2})(\d{2})")


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


def clock_at(line: Line, at: int, words: Words) -> Found[When] | None:
    """Read "6:50", "7 pm", "6h50", "noon" at token `at`."""
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
    read = read_clock(text)
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


def read_clock(text: str) -> Clock | None:
    """Read a time with a colon, with seconds and an offset from UTC or without."""
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
