"""The five levels by slot, by weekday or by month: counts, shares, and their Wilson limits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.marks import MARKS, SLOTS
from app.domain.person import Person, today_of
from app.review.counted import Counted, counted_of
from app.review.figure import Missing, too_little
from app.review.marks_drawn import LEVELS, levels_of
from app.review.parts import Share
from app.review.record import Record
from app.statistics import enough
from app.statistics.proportion import share_of
from app.statistics.weekdays import weekdays_of

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


class By(StrEnum):
    """What readings are grouped by."""

    SLOT = "slot"
    WEEKDAY = "weekday"
    MONTH = "month"


@dataclass(frozen=True, slots=True)
class Band:
    """One group: its readings, on how many days, and the five levels from far below to far above.

    `key` is a mark's code, a weekday's English name in small letters, or a month as "2026-03";
    `words` is what a person reads. A group without readings stays, so that gaps are seen.
    """

    key: str
    words: str
    n: int
    days: int
    shares: tuple[Share, ...]

    @property
    def missing(self) -> Missing | None:
        """Why the shares are counts alone; None where they are shown."""
        return self.shares[0].missing


@dataclass(frozen=True, slots=True)
class Bands:
    """All groups of a period in their order; every reading that counts is in one of them."""

    person: Person
    unit: Unit
    period: Period
    by: By
    n: int
    bands: tuple[Band, ...]


def bands(record: Record, period: Period, *, by: By, now: datetime, minimum: bool = True) -> Bands:
    """Count the levels of each group of a period of whole diary days, both ends included.

    Parameters
    ----------
    record : Record
        Whose readings.
    period : Period
        Which diary days. By month, every month from the first reading ever to today is there, also
        one without readings.
    by : By
        By slot: the eight slots, then every other mark that occurs, "no mark" among them.
    now : datetime
        Aware; what lies in the future is left out.
    minimum : bool, default True
        Show a share only from enough readings; counts are always shown.
    """
    columns, at = record.between(period), int(now.timestamp())
    counted, _ = counted_of(columns, record.person.unit, now=at)
    names, group = _GROUPED[by](counted, _reached(record, period, now))
    kinds = len(LEVELS)
    coded = np.bincount(group * kinds + levels_of(counted), minlength=len(names) * kinds)
    days = _days_of(group, counted.columns.day, len(names))
    found = tuple(
        _band(key, words, row, count, minimum=minimum)
        for (key, words), row, count in zip(
            names, coded.reshape(len(names), kinds).tolist(), days.tolist(), strict=True
        )
    )
    if by is By.SLOT:
        found = tuple(each for each in found if each.n or each.key in SLOTS)
    return Bands(record.person, record.person.unit, period, by, counted.n, found)


_Names = Sequence[tuple[str, str]]


def _reached(record: Record, period: Period, now: datetime) -> Period:
    """The part of a period that the record reaches: from its first reading to today."""
    there = record.all_days(today_of(record.person, now))
    first, last = max(period.first, there.first), min(period.last, there.last)
    return Period(first, last) if first <= last else Period(period.last, period.last)


def _by_slot(counted: Counted, _period: Period) -> tuple[_Names, NDArray[np.int64]]:
    names = [(mark.value, mark.words) for mark in MARKS]
    return names, counted.columns.mark.astype(np.int64)


def _by_weekday(counted: Counted, _period: Period) -> tuple[_Names, NDArray[np.int64]]:
    return [(name.lower(), name) for name in WEEKDAYS], weekdays_of(counted.columns.day)


def _by_month(counted: Counted, period: Period) -> tuple[_Names, NDArray[np.int64]]:
    first, last = period.first, period.last
    start = first.year * 12 + first.month - 1
    months = range(start, last.year * 12 + last.month)
    begins = [date(month // 12, month % 12 + 1, 1) for month in months]
    names = [(f"{each:%Y-%m}", f"{each:%B %Y}") for each in begins]
    starts = np.array([each.toordinal() for each in begins], dtype=np.int64)
    return names, np.searchsorted(starts, counted.columns.day, side="right") - 1


_GROUPED = {By.SLOT: _by_slot, By.WEEKDAY: _by_weekday, By.MONTH: _by_month}


def _days_of(group: NDArray[np.int64], day: NDArray[np.int32], groups: int) -> NDArray[np.int64]:
    """How many different days each group has readings on."""
    if not day.size:
        return np.zeros(groups, dtype=np.int64)
    first = int(day.min())
    span = int(day.max()) - first + 1
    pairs = np.unique(group * span + (day - first))
    return np.bincount(pairs // span, minlength=groups).astype(np.int64)


def _band(key: str, words: str, counts: list[int], days: int, *, minimum: bool) -> Band:
    n = sum(counts)
    missing = too_little(enough.SHARE, there=n, days=days) if minimum else None
    if missing is None and not n:
        missing = Missing("there are no readings")
    shares = tuple(
        Share(level, share_of(count, n), missing)
        for level, count in zip(LEVELS, counts, strict=True)
    )
    return Band(key, words, n, days, shares)
