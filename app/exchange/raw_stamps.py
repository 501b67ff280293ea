"""Raw stamps as files had them, read again as the wall times that a clock showed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

from app.domain.numerals import ascii_digits
from app.exchange.dates import date_reader
from app.exchange.file_read import RowRefused
from app.exchange.moments import Split, split_iso, split_worded
from app.exchange.times import Clocks

_ISO = re.compile(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d)?", re.ASCII)
_ORDERS = ("dmy", "mdy", "ymd")
_ZONES_APART = timedelta(hours=14)  # a wall time may have been moved to the place of a journey


def shown_times(
    stamps: Sequence[tuple[str | None, datetime | None]], *, date_order: str
) -> list[datetime | None]:
    """The wall time that each stamp of one source says.

    Parameters
    ----------
    stamps : sequence of (text or None, datetime or None)
        The raw text, and the naive wall time that it was read as, where that is known.
    date_order : str
        The person's order of day, month and year. It decides only where what is known and the
        texts themselves leave a choice.

    Returns
    -------
    list of datetime or None
        Naive; None where a text says no time, or there is none.

    Examples
    --------
    >>> shown_times([("05/03/2024 7:10 PM", datetime(2024, 5, 3, 19, 10)),
    ...              ("05/04/2024 6:00 AM", None)], date_order="dmy")[1]
    datetime.datetime(2024, 5, 4, 6, 0)
    """
    texts = [text.strip() if text else "" for text, _ in stamps]
    if all(not text or _ISO.fullmatch(text) for text in texts):
        return [datetime.fromisoformat(text) if text else None for text in texts]
    known = [wall for _, wall in stamps]
    best: list[datetime | None] = [None] * len(texts)
    best_score = (-1, -1)
    for order, split in _ways(date_order):
        read = _read_all(texts, order, split)
        agreed = sum(
            abs(one - other) <= _ZONES_APART
            for one, other in zip(read, known, strict=True)
            if one and other
        )
        score = (agreed, sum(one is not None for one in read))
        if score > best_score:
            best, best_score = read, score
    return best


def _ways(date_order: str) -> Iterator[tuple[str, Split]]:
    for order in (date_order, *(each for each in _ORDERS if each != date_order)):
        for split in (split_iso, split_worded):
            yield order, split


def _read_all(texts: Sequence[str], order: str, split: Split) -> list[datetime | None]:
    read, clocks = date_reader(None, order), Clocks(None)
    found: list[datetime | None] = []
    for text in texts:
        day, clock = split(ascii_digits(text))
        try:
            since, _, _ = clocks[clock]
            found.append(datetime.combine(read(day), datetime.min.time()) + since)
        except (RowRefused, OverflowError):
            found.append(None)
    return found
