"""Strips left counted from use, when they run out at the pace of late, and when to tell of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.values import as_count, as_labels

PACE_DAYS = 28  # whole weeks, so that each weekday counts alike: a rule of this diary
FEWEST_DAYS = 7  # a pace from fewer days is none
TELL_DAYS = 7  # how long before it is told
_SATURDAY = 5


@dataclass(frozen=True, slots=True)
class StripsLeft:
    """`left` strips, `used` since they were last counted; `beyond` more were used than there were.

    `left` is None where nobody said how many there were.
    """

    left: int | None
    used: int
    beyond: int = 0


@dataclass(frozen=True, slots=True)
class Forecast:
    """When strips run out: the first day without one, and the last weekday before it.

    Days are date ordinals; `per_day` tests a day over `days` days, None where those are too few.
    Without a pace, or with none used, the days are None.
    """

    per_day: float | None
    days: int
    runs_out: int | None
    get_by: int | None


def strips_left(
    opened_with: int | None,
    used_at: ArrayLike,
    *,
    counted: tuple[int, int] | None = None,
    wasted: tuple[tuple[int, int], ...] = (),
) -> StripsLeft:
    """Count the strips that are left of a vial.

    Parameters
    ----------
    opened_with : int or None
        Strips in the vial when it was opened.
    used_at : array_like of int, shape (n,)
        When each strip was used (UTC seconds): readings and control tests; order does not matter.
    counted : (at, count), optional
        The last time that somebody counted them: what was used before it no longer matters.
    wasted : tuple of (at, count)
        Strips used for nothing, and when.

    Raises
    ------
    ValueError
        If a count is negative.

    Examples
    --------
    >>> strips_left(50, [10, 20, 30]).left, strips_left(50, [10, 20, 30], counted=(20, 40)).left
    (47, 39)
    """
    times = as_labels(used_at, "used_at", np.size(used_at))
    since, start = (-1, opened_with) if counted is None else counted
    lost = sum(as_count(count, "wasted") for at, count in wasted if at > since)
    used = int(np.count_nonzero(times > since)) + lost
    if start is None:
        return StripsLeft(None, used)
    left = as_count(start, "counted" if counted else "opened_with") - used
    return StripsLeft(max(left, 0), used, max(-left, 0))


def runs_out(left: int | None, used_days: ArrayLike, *, today: int, since: int) -> Forecast:
    """Forecast when strips run out, from the whole days before today.

    Parameters
    ----------
    left : int or None
        Strips that are left.
    used_days : array_like of int, shape (n,)
        The day (date ordinal) on which each strip was used.
    today : int
        Date ordinal; it is not over, so it is in no pace.
    since : int
        The first day on which strips were counted at all.

    Examples
    --------
    >>> found = runs_out(12, [100, 101, 102, 103, 104, 105, 106] * 2, today=107, since=100)
    >>> found.per_day, found.runs_out
    (2.0, 113)
    """
    days = as_labels(used_days, "used_days", np.size(used_days))
    span = min(PACE_DAYS, today - since)
    if span < FEWEST_DAYS:
        return Forecast(None, max(span, 0), None, None)
    used = int(np.count_nonzero((days >= today - span) & (days < today)))
    per_day = used / span
    if left is None or not used:
        return Forecast(per_day, span, None, None)
    out = today + left * span // used
    return Forecast(per_day, span, out, weekday_before(out))


def weekday_before(day: int) -> int:
    """The last weekday, Monday to Friday, before a day (date ordinals): shops close on others."""
    before = day - 1
    return before - max(0, _weekday(before) - _SATURDAY + 1)


def told_from(day: int, *, lead: int = TELL_DAYS) -> int:
    """From which day on something that ends with a day is told: a weekday, so many days ahead.

    A day that falls on a weekend moves to the Friday before it: earlier, never later.
    """
    first = day - lead
    return first - max(0, _weekday(first) - _SATURDAY + 1)


def _weekday(day: int) -> int:
    """0 Monday to 6 Sunday; the first of January of the year 1 was a Monday."""
    return (day - 1) % 7
