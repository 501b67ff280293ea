"""Periods of whole diary days, and the slice of a sorted record that lies in one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.values import as_labels

# The spans that a review offers: common practice, no source.
USUAL_DAYS = (7, 14, 30, 60, 90)


@dataclass(frozen=True, slots=True)
class Period:
    """Whole diary days by number, first and last included."""

    first: int
    last: int

    def __post_init__(self) -> None:
        if self.first > self.last:
            raise ValueError(f"period is upside down: first={self.first}, last={self.last}")

    @property
    def days(self) -> int:
        """How many days it has, with or without readings."""
        return self.last - self.first + 1

    @property
    def before(self) -> Period:
        """The period of equal length that ends the day before this one begins."""
        return Period(self.first - self.days, self.first - 1)


def days_ending(last: int, days: int) -> Period:
    """The period of so many whole days that ends with day `last`, it included.

    Parameters
    ----------
    last : int
        A diary-day number.
    days : int
        At least 1.

    Raises
    ------
    ValueError
        If `days` is below 1.

    Examples
    --------
    >>> days_ending(100, 7), days_ending(100, 7).before
    (Period(first=94, last=100), Period(first=87, last=93))
    """
    if days < 1:
        raise ValueError(f"a period has at least one day: days={days}")
    return Period(last - days + 1, last)


def slice_of(days: ArrayLike, period: Period) -> slice:
    """Where the readings of a period lie in a record sorted by day.

    From the start of the first day up to, not including, the start of the day after the last: a
    reading at the very start of a day belongs to that day.

    Parameters
    ----------
    days : array_like of int, shape (n,)
        The diary-day number of each reading, never falling.
    period : Period
        The days wanted.

    Returns
    -------
    slice
        Empty where no reading lies in the period.

    Raises
    ------
    ValueError
        If `days` is not one-dimensional, not whole numbers or not sorted.

    Examples
    --------
    >>> slice_of([91, 94, 94, 100, 101], Period(94, 100))
    slice(1, 4, None)
    """
    numbers = as_labels(days, "days", np.size(days))
    if (numbers[1:] < numbers[:-1]).any():
        at = int(np.argmax(numbers[1:] < numbers[:-1]))
        raise ValueError(f"days must not fall: day {numbers[at]} comes before {numbers[at + 1]}")
    start, stop = np.searchsorted(numbers, [period.first, period.last + 1])
    return slice(int(start), int(stop))


def days_with_readings(days: ArrayLike) -> int:
    """How many different days there are.

    Parameters
    ----------
    days : array_like of int, shape (n,)
        The diary-day number of each reading; order does not matter.

    Examples
    --------
    >>> days_with_readings([5, 3, 5])
    2
    """
    numbers = as_labels(days, "days", np.size(days))
    if (numbers[1:] >= numbers[:-1]).all():  # as the store gives them: no sort
        return int(np.count_nonzero(numbers[1:] != numbers[:-1])) + (numbers.size > 0)
    return int(np.unique(numbers).size)
