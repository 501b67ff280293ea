"""A date or a time that is typed alone, as into a field for one."""

from __future__ import annotations

import re
from datetime import date, time

from app.domain.entry.clocks import clock_at, clock_of
from app.domain.entry.dates import named_day_at, stamp_at
from app.domain.entry.english import ENGLISH
from app.domain.entry.tokens import cut

_BASIC = re.compile(r"\s*(\d{4})(\d{2})(\d{2})\s*")
_ANY_DAY = date(2000, 1, 1)  # a date with its year does not depend on the day that it is


def date_alone(text: str, order: str) -> date | None:
    """The date that a text is, year included: "7.2.2026", "2026-02-07", "7 Feb 2026".

    Parameters
    ----------
    order : str
        "dmy", "mdy" or "ymd", for a date in figures with the year last.

    Returns
    -------
    date or None
        None where it is no date, one that does not exist, one without its year, or more than one.
    """
    if basic := _BASIC.fullmatch(text):
        text = "-".join(basic.groups())
    line = cut(text.replace(",", " "), ENGLISH)
    found = stamp_at(line, 0, _ANY_DAY, order) or named_day_at(line, 0, ENGLISH, _ANY_DAY)
    if found is None or found.problem or found.stop != len(line.tokens) or found.kind != "date":
        return None
    with_year = len(re.findall(r"\d+", text)) == 3 or re.search(r"\d{4}", text)
    return found.what.day.on if with_year and found.what.day is not None else None


def time_alone(text: str) -> time | None:
    """The time of day that a text is: "7:30", "0730", "7.30", "7 pm", "7h30"; None for none.

    A bare hour is one of 24, and the end of a day, 24:00, is none: it belongs to the next one.
    """
    line = cut(text, ENGLISH)
    found = clock_at(line, 0, ENGLISH)
    if found is None:
        clock = clock_of(text.strip(), hour_alone=True)
    elif found.problem or found.stop != len(line.tokens):
        return None
    else:
        clock = found.what.clock
    if clock is None or clock.offset_min is not None or clock.hour == 24:
        return None
    return time(clock.hour, clock.minute)
