"""MODD: how far the same slot lies from one day to the next, the mean of daily differences."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.runs import run_starts
from app.statistics.values import IntArray, as_labels, as_values

MINUTES_A_DAY = 1440


@dataclass(frozen=True, slots=True)
class Modd:
    """The mean difference, its pairs, and the pairs dropped for a result off the meter's scale."""

    value: float | None
    pairs: int
    off_scale_pairs: int


def modd(values: ArrayLike, slots: ArrayLike, days: ArrayLike, minutes: ArrayLike) -> Modd:
    """Mean of absolute differences between readings of one slot on successive days.

    Readings pair by slot, on days exactly one apart, one to one: a reading has at most one partner
    the day before and one the day after. Where a slot has several readings in a day, those nearest
    in time of day pair first (round midnight too; of equally near ones the earlier). A pair with an
    off-scale result is dropped.

    Parameters
    ----------
    values : array_like, shape (n,)
        One value for each reading, all in one unit, off-scale results as -inf or +inf; order does
        not matter. Leave out readings that are in no slot.
    slots : array_like of int, shape (n,)
        The slot of each reading.
    days : array_like of int, shape (n,)
        The diary-day number of each reading.
    minutes : array_like of int, shape (n,)
        Minute of the local day, 0 to 1439.

    Returns
    -------
    Modd
        With no pair, ``value`` is None.

    Raises
    ------
    ValueError
        If an argument is not one-dimensional, has another length or holds NaN, or a minute is not
        one of a day.

    References
    ----------
    G. D. Molnar, W. F. Taylor, M. M. Ho (1972), Diabetologia 8, 342-348 (definition second-hand;
    the pairing of finger-sticks is a rule of this diary).

    Examples
    --------
    >>> modd([100, 180, 120, 90, 130, 150, 140, 95], [0, 1, 2, 3] * 2, [1] * 4 + [2] * 4, [0] * 8)
    Modd(value=21.25, pairs=4, off_scale_pairs=0)
    """
    numbers = as_values(values, infinite=True)
    slot = as_labels(slots, "slots", numbers.size)
    day = as_labels(days, "days", numbers.size)
    minute = as_labels(minutes, "minutes", numbers.size)
    if numbers.size and not 0 <= int(minute.min()) <= int(minute.max()) < MINUTES_A_DAY:
        raise ValueError(f"minutes must lie from 0 to 1439: {minute.min()} to {minute.max()}")
    # Same minute, same slot: by value, so that the order they came in never matters.
    order = np.lexsort((numbers, minute, day, slot))
    numbers, slot, day, minute = numbers[order], slot[order], day[order], minute[order]
    left, right = _pairs(slot, day, minute)
    whole = np.isfinite(numbers[left]) & np.isfinite(numbers[right])
    left, right, dropped = left[whole], right[whole], int(np.count_nonzero(~whole))
    if not left.size:
        return Modd(None, 0, dropped)
    return Modd(float(np.mean(np.abs(numbers[right] - numbers[left]))), left.size, dropped)


def _pairs(slot: IntArray, day: IntArray, minute: IntArray) -> tuple[IntArray, IntArray]:
    """Indices of the readings that pair, the earlier day's and the later's; sorted columns in."""
    starts = run_starts(slot, day)
    counts = np.diff(np.append(starts, day.size))
    follows = (slot[starts[1:]] == slot[starts[:-1]]) & (day[starts[1:]] == day[starts[:-1]] + 1)
    first, second = starts[:-1][follows], starts[1:][follows]
    many, more = counts[:-1][follows], counts[1:][follows]
    single = (many == 1) & (more == 1)
    left, right = [first[single]], [second[single]]
    if not single.all():
        crowded = ~single
        i, j = _all_against_all(first[crowded], second[crowded], many[crowded], more[crowded])
        i, j = _nearest_first(i, j, minute)
        left.append(i)
        right.append(j)
    return np.concatenate(left), np.concatenate(right)


def _all_against_all(
    first: IntArray, second: IntArray, many: IntArray, more: IntArray
) -> tuple[IntArray, IntArray]:
    """Each reading of each earlier group (start, size) with each of the group that follows it."""
    sizes = many * more
    group = np.repeat(np.arange(sizes.size), sizes)
    place = np.arange(group.size) - np.repeat(np.cumsum(sizes) - sizes, sizes)
    return first[group] + place // more[group], second[group] + place % more[group]


def _nearest_first(i: IntArray, j: IntArray, minute: IntArray) -> tuple[IntArray, IntArray]:
    """Pair one to one, the nearest first.

    A pair that is the nearest left for both its readings is one that taking the nearest of all,
    over and over, would take too. So each round takes all of those.
    """
    apart = np.abs(minute[i] - minute[j])
    order = np.lexsort((j, i, np.minimum(apart, MINUTES_A_DAY - apart)))
    i, j = i[order], j[order]
    left: list[IntArray] = []
    right: list[IntArray] = []
    while i.size:
        best_of_i, best_of_j = (np.unique(x, return_index=True)[1] for x in (i, j))
        taken = np.intersect1d(best_of_i, best_of_j, assume_unique=True)
        left.append(i[taken])
        right.append(j[taken])
        free = ~(np.isin(i, i[taken]) | np.isin(j, j[taken]))
        i, j = i[free], j[free]
    return np.concatenate(left), np.concatenate(right)
