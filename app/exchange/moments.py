"""Date and time of a row: from two columns, from one that joins them, or the date alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime

from app.exchange.columns import Columns
from app.exchange.dates import Dates, looks_like_date
from app.exchange.times import NO_TIME, Clocks, clock_time

Split = Callable[[str], tuple[str, str]]
# The wall time as written, read, how finely, and the UTC offset where the file gives one.
When = Callable[[list[str]], tuple[str, datetime, str, int | None]]


def split_iso(text: str) -> tuple[str, str]:
    """Part "2024-03-01T07:30" or "01.03.2024 07:30" at its T or first space."""
    if text[10:11] == "T":
        return text[:10], text[11:]
    day, _, clock = text.partition(" ")
    return day, clock


def split_worded(text: str) -> tuple[str, str]:
    """Part "12 Mar 2024 07:30", whose date has spaces, at the third."""
    words = text.split(" ", 3)
    return " ".join(words[:3]), " ".join(words[3:])


def splitter(texts: Iterable[str], form: str | None) -> Split:
    """How the joined date and time of a file come apart: by its date format, or by its look."""
    if form is not None:
        return split_worded if form.strip().count(" ") == 2 else split_iso
    worded = any(
        looks_like_date(split_worded(text.strip())[0])
        and not looks_like_date(split_iso(text.strip())[0])
        for text in texts
    )
    return split_worded if worded else split_iso


def holds_times(texts: Iterable[str], split: Split) -> bool:
    """Whether a date column holds times of day as well."""
    return any(clock_time(split(text.strip())[1].rstrip("Zz")) is not None for text in texts)


def moment_reader(columns: Columns, split: Split, dates: Dates, clocks: Clocks) -> When:
    """A function that reads the moment of one row; it raises `RowRefused`."""
    date_at, time_at = columns.date_at, columns.at.get("time")
    if time_at is not None:

        def apart(fields: list[str]) -> tuple[str, datetime, str, int | None]:
            day, clock = fields[date_at], fields[time_at]
            midnight = dates[day]
            since, precision, offset = clocks[clock]
            return f"{day} {clock}", midnight + since, precision, offset

        return apart
    if "datetime" in columns.at:

        def joined(fields: list[str]) -> tuple[str, datetime, str, int | None]:
            text = fields[date_at]
            day, clock = split(text.strip())
            midnight = dates[day]
            since, precision, offset = clocks[clock]
            return text, midnight + since, precision, offset

        return joined

    def day_alone(fields: list[str]) -> tuple[str, datetime, str, int | None]:
        day = fields[date_at]
        since, precision, offset = NO_TIME
        return day, dates[day] + since, precision, offset

    return day_alone
