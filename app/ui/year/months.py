"""The months that a year may end with, and the step from one to another."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from app.domain.clock import Period

MOST = 1200  # a hundred years; a reading from before them has a clock that is wrong


def month_of(day: date) -> date:
    """The first day of its month.

    >>> month_of(date(2026, 5, 6))
    datetime.date(2026, 5, 1)
    """
    return day.replace(day=1)


def months_offered(all_days: Period, shown: date) -> tuple[date, ...]:
    """Every month from that of the first reading to the last, the newest first.

    Parameters
    ----------
    all_days : Period
        From the first reading to today or a later one.
    shown : date
        A day of the month that is shown: it is offered too, wherever it lies.
    """
    newest = max(_number(all_days.last), _number(shown))
    oldest = min(_number(all_days.first), _number(shown))
    return tuple(_month(at) for at in range(newest, max(oldest, newest - MOST) - 1, -1))


def stepped(month: date, step: int, offered: Sequence[date]) -> date:
    """The month so many after another one, within those that are offered, the newest first."""
    newest, oldest = _number(offered[0]), _number(offered[-1])
    return _month(min(max(_number(month) + step, oldest), newest))


def _number(day: date) -> int:
    return day.year * 12 + day.month - 1


def _month(number: int) -> date:
    return date(number // 12, number % 12 + 1, 1)
