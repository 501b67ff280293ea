"""Readings counted by group and by day of the week."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.values import IntArray, as_count, as_labels

WEEK = 7


def weekdays_of(days: ArrayLike) -> IntArray:
    """The day of the week of each day number, Monday 0 to Sunday 6.

    Parameters
    ----------
    days : array_like of int, shape (n,)
        Proleptic Gregorian ordinals: day 1 was a Monday.

    Examples
    --------
    >>> weekdays_of([1, 7, 739742]).tolist()
    [0, 6, 2]
    """
    numbers = as_labels(days, "days", np.size(days))
    return np.asarray((numbers - 1) % WEEK, dtype=np.int64)


def counts_by_weekday(groups: ArrayLike, days: ArrayLike, *, size: int) -> IntArray:
    """How many readings each group has on each day of the week.

    Parameters
    ----------
    groups : array_like of int, shape (n,)
        The group of each reading, a code of at least 0; codes from `size` on are in no row.
    days : array_like of int, shape (n,)
        The day of each reading as a proleptic ordinal; order does not matter.
    size : int
        How many groups there are.

    Returns
    -------
    ndarray of int, shape (size, 7)
        Counts, Monday first.

    Raises
    ------
    ValueError
        If the arrays differ in length or a code is negative.

    Examples
    --------
    >>> counts_by_weekday([0, 0, 1, 9], [1, 8, 7, 1], size=2).tolist()
    [[2, 0, 0, 0, 0, 0, 0], [0, 0, 0, 0, 0, 0, 1]]
    """
    size = as_count(size, "size")
    group = as_labels(groups, "groups", np.size(groups))
    weekday = weekdays_of(as_labels(days, "days", group.size))
    if group.size and int(group.min()) < 0:
        raise ValueError(f"groups must be codes of at least 0: groups holds {group.min()}")
    inside = group < size
    found = np.bincount(group[inside] * WEEK + weekday[inside], minlength=size * WEEK)
    return np.asarray(found.reshape(size, WEEK), dtype=np.int64)
