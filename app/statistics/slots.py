"""Figures for each mark, and the evened average that gives each slot of the day the same weight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.ranks import between, on_levels, partitioned, positions, ranked_by_group
from app.statistics.values import FloatArray, IntArray, as_labels, as_values

EVENED_SLOTS = tuple(range(7))  # waking to bedtime, by code; night is left out


@dataclass(frozen=True, slots=True)
class MarkSummary:
    """The readings of one mark: how many, mean, sample SD (None for one reading), median."""

    mark: int
    n: int
    mean: float
    sd: float | None
    median: float


@dataclass(frozen=True, slots=True)
class EvenedAverage:
    """The mean of the slot means; ``value`` is None with fewer than two slots."""

    value: float | None
    slots: tuple[int, ...]  # those of the asked ones that have a reading
    smallest_n: int  # readings in the thinnest of them; 0 with none
    outside: int  # readings in none of the asked slots, unmarked ones among them
    unmarked: int


def summaries_by_mark(values: ArrayLike, marks: ArrayLike) -> tuple[MarkSummary, ...]:
    """Count, mean, SD and median of the readings of each mark that occurs.

    Parameters
    ----------
    values : array_like, shape (n,)
        The readings that have a number, all in one unit; order does not matter.
    marks : array_like of int, shape (n,)
        The mark of each reading as a small code of at least 0.

    Returns
    -------
    tuple of MarkSummary
        By rising code; empty with no readings.

    Raises
    ------
    ValueError
        If an argument is not one-dimensional, not finite, of another length, or a code is negative.

    Examples
    --------
    >>> summaries_by_mark([100, 110, 200], [0, 0, 6])[1]
    MarkSummary(mark=6, n=1, mean=200.0, sd=None, median=200.0)
    """
    numbers = as_values(values)
    mark = _codes(marks, numbers.size)
    if not numbers.size:
        return ()
    n = np.bincount(mark)
    there = np.flatnonzero(n)
    means = _means(numbers, mark, n)
    deviations = numbers - means[mark]
    squares = np.bincount(mark, weights=deviations * deviations)
    medians = _medians(numbers, mark, n)
    return tuple(
        MarkSummary(
            mark=code,
            n=int(n[code]),
            mean=float(means[code]),
            sd=float(np.sqrt(squares[code] / (n[code] - 1))) if n[code] > 1 else None,
            median=float(middle),
        )
        for code, middle in zip(there.tolist(), medians, strict=True)
    )


def evened_average(
    values: ArrayLike, marks: ArrayLike, *, no_mark: int, slots: Sequence[int] = EVENED_SLOTS
) -> EvenedAverage:
    """Mean of the slot means, so that the slot tested most does not outweigh the others.

    Parameters
    ----------
    values : array_like, shape (n,)
        One value for each reading, all in one unit; order does not matter. With the meter's limit
        in place of results that are off its scale on one side, the result is a bound on that side.
    marks : array_like of int, shape (n,)
        The mark of each reading as a small code of at least 0, as written: a guessed mark is none.
    no_mark : int
        The code of readings without a mark, to be counted as such.
    slots : sequence of int, default 0 to 6
        The codes of the slots that are evened.

    Returns
    -------
    EvenedAverage
        Needs a reading in two of the slots.

    Raises
    ------
    ValueError
        If an argument is not one-dimensional, not finite, of another length, or a code is negative.

    Examples
    --------
    >>> found = evened_average([100] * 10 + [200, 200], [0] * 10 + [6, 6], no_mark=14)
    >>> found.value, found.slots, found.smallest_n
    (150.0, (0, 6), 2)
    """
    numbers = as_values(values)
    mark = _codes(marks, numbers.size)
    if min(*slots, no_mark) < 0:
        raise ValueError(f"codes must be at least 0: slots={tuple(slots)}, no_mark={no_mark}")
    n = np.bincount(mark, minlength=max(*slots, no_mark) + 1)
    used = tuple(slot for slot in slots if n[slot])
    means = _means(numbers, mark, n)[list(used)]
    inside = int(n[list(used)].sum())
    return EvenedAverage(
        value=float(np.mean(means)) if len(used) > 1 else None,
        slots=used,
        smallest_n=min((int(n[slot]) for slot in used), default=0),
        outside=numbers.size - inside,
        unmarked=int(n[no_mark]),
    )


def _codes(marks: ArrayLike, size: int) -> IntArray:
    mark = as_labels(marks, "marks", size)
    if mark.size and int(mark.min()) < 0:
        raise ValueError(f"marks must be codes of at least 0: marks holds {mark.min()}")
    return mark


def _means(numbers: FloatArray, mark: IntArray, n: IntArray) -> FloatArray:
    """The mean of each code, 0 for one that does not occur."""
    sums = np.bincount(mark, weights=numbers, minlength=n.size)
    return np.asarray(sums / np.maximum(n, 1), dtype=np.float64)


def _medians(numbers: FloatArray, mark: IntArray, n: IntArray) -> FloatArray:
    """The median of each code that occurs, by rising code."""
    there = np.flatnonzero(n)
    sizes = n[there][:, np.newaxis]
    lower, fraction = positions(sizes, np.array([0.5]), 7)
    ranks = np.hstack((lower, np.minimum(lower + 1, sizes - 1)))
    coded = on_levels(numbers)
    if coded is not None:
        width = coded.levels.size
        counts = np.bincount(mark * width + coded.codes, minlength=n.size * width)
        pair = ranked_by_group(counts.reshape(n.size, width)[there], coded.levels, ranks)
    else:
        by_mark = numbers[np.argsort(mark, kind="stable")]
        groups = np.split(by_mark, np.cumsum(n[there])[:-1])
        pair = np.stack([partitioned(g, at) for g, at in zip(groups, ranks, strict=True)])
    return between(pair[:, 0], pair[:, 1], fraction[:, 0])
