"""Times of day in files: 24 and 12 hours, seconds, offsets, and times that paper made up."""

from __future__ import annotations

import re
from datetime import timedelta
from functools import lru_cache

from app.domain.numerals import ascii_digits
from app.exchange.dates import compiled
from app.exchange.file_read import RowRefused

Clock = tuple[timedelta, str, int | None]  # since midnight, precision, UTC offset where given

NO_TIME: Clock = (timedelta(0), "day", None)

_TOKENS = {
    "HH": r"(?P<h>\d{2})",
    "H": r"(?P<h>\d{1,2})",
    "hh": r"(?P<h>\d{2})",
    "h": r"(?P<h>\d{1,2})",
    "MM": r"(?P<m>\d{2})",
    "SS": r"(?P<s>\d{2})(?:[.,]\d+)?",
    "A": r"(?P<half>[AaPp]\.?[Mm]\.?)",
    " ": r"\s*",
}
_TOKEN = re.compile("HH|H|hh|h|MM|SS|A|.")
_TOLERANT = (
    re.compile(
        r"(?P<h>\d{1,2})[:.h](?P<m>\d{2})(?:[:.](?P<s>\d{2})(?:[.,]\d+)?)?"
        r"\s*(?P<half>[AaPp]\.?\s?[Mm]\.?)?",
        re.ASCII,
    ),
    re.compile(r"(?P<h>\d{1,2})\s*(?P<half>[AaPp]\.?\s?[Mm]\.?)", re.ASCII),
    re.compile(r"(?P<h>\d{1,2})(?P<m>\d{2})(?:(?P<s>\d{2}))?", re.ASCII),
)
_OFFSET = re.compile(r"(.*\d)\s*(?:(?P<zulu>[Zz])|(?P<sign>[+-])(?P<h>\d\d):?(?P<m>\d\d))")


class Clocks(dict[str, Clock]):
    """Each time text, read once; a text that is no time raises `RowRefused`.

    With `slots` given, times of those minutes since midnight (all, if it is empty) were made up.
    """

    def __init__(self, form: str | None, *, slots: frozenset[timedelta] | None = None) -> None:
        super().__init__()
        self._patterns = _TOLERANT if form is None else (time_pattern(form),)
        self._slots = slots

    def __missing__(self, text: str) -> Clock:
        if not text.strip():
            raise RowRefused("the time is missing")
        plain, offset = _without_offset(text)
        found = _read(plain, self._patterns)
        if found is None:
            raise RowRefused(f'"{text.strip()[:40]}" is not a time of day')
        since, precision = found
        if self._slots is not None and (not self._slots or since in self._slots):
            precision = "slot"
        self[text] = clock = (since, precision, offset)
        return clock


@lru_cache(maxsize=32)
def time_pattern(form: str) -> re.Pattern[str]:
    """The pattern of a time format such as "H:MM"; ValueError says what is wrong with it."""
    return compiled(form, _TOKENS, _TOKEN, needed=("h",), any_of=("m", "half"))


def clock_time(text: str) -> timedelta | None:
    """The time of day of a text in any of the plain forms, since midnight.

    >>> str(clock_time("7:30 pm")), str(clock_time("24:00")), clock_time("56:35")
    ('19:30:00', '1 day, 0:00:00', None)
    """
    found = _read(ascii_digits(text.strip()), _TOLERANT)
    return None if found is None else found[0]


def _without_offset(text: str) -> tuple[str, int | None]:
    plain = ascii_digits(text.strip())
    if plain[-1:] not in "Zz" and "+" not in plain and "-" not in plain:
        return plain, None
    found = _OFFSET.fullmatch(plain)
    if found is None:
        return plain, None
    if found["zulu"]:
        return found[1], 0
    hours, minutes = int(found["h"]), int(found["m"])
    if hours > 15 or minutes > 59:
        raise RowRefused(f'"{text.strip()[:40]}" has no possible offset')
    return found[1], (-1 if found["sign"] == "-" else 1) * (hours * 60 + minutes)


def _read(text: str, patterns: tuple[re.Pattern[str], ...]) -> tuple[timedelta, str] | None:
    for pattern in patterns:
        found = pattern.fullmatch(text)
        if found is not None:
            return _since_midnight(found.groupdict())
    return None


def _since_midnight(part: dict[str, str | None]) -> tuple[timedelta, str] | None:
    hour, minute = int(part["h"] or 0), int(part.get("m") or 0)
    second, half = int(part.get("s") or 0), part.get("half")
    if half:
        if not 1 <= hour <= 12:
            return None
        # 12 AM is midnight and 12 PM is noon.
        hour = hour % 12 + (12 if half[0] in "Pp" else 0)
    if minute > 59 or second > 59 or hour > 24 or (hour == 24 and minute + second):
        return None
    precision = "second" if part.get("s") else "minute"
    return timedelta(hours=hour, minutes=minute, seconds=second), precision
