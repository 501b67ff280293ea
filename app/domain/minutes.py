"""Minutes of the local day, read from what people write and said as they read it."""

from __future__ import annotations

import re

from app.domain.numerals import ascii_digits

_CLOCK = re.compile(r"([0-9]{1,2})(?:[:.h]?([0-9]{2}))?\s*(am|pm|a\.m\.|p\.m\.)?", re.IGNORECASE)


def minute_of(text: str) -> int | None:
    """The minute of the day of "7:05", "7.05", "0705", "19", "7 pm"; None for anything else.

    >>> minute_of("7:05"), minute_of("12:30 am"), minute_of("24:00"), minute_of("7:5")
    (425, 30, None, None)
    """
    found = _CLOCK.fullmatch(ascii_digits(text).strip())
    if found is None:
        return None
    hour, minute = int(found[1]), int(found[2] or 0)
    if found[3]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if found[3][0] in "pP" else 0)
    return hour * 60 + minute if hour < 24 and minute < 60 else None


def minute_words(minute: int, clock: int = 24) -> str:
    """A minute of the day as a person reads it.

    >>> minute_words(425), minute_words(425, 12), minute_words(0, 12)
    ('07:05', '7:05 AM', '12:00 AM')
    """
    hour, rest = divmod(minute, 60)
    if clock == 24:
        return f"{hour:02}:{rest:02}"
    return f"{hour % 12 or 12}:{rest:02} {'AM' if hour < 12 else 'PM'}"
