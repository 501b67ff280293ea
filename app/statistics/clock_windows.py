"""The modal day by the clock: quartiles in windows that slide round the 24 hours."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.enough import CLOCK_WINDOW
from app.statistics.quantiles import number_or_none
from app.statistics.ranks import between, on_levels, partitioned, positions, ranked_by_group
from app.statistics.values import FloatArray, IntArray, as_labels, as_values

MINUTES_A_DAY = 1440
QUARTERS = np.array([0.25, 0.5, 0.75])


@dataclass(frozen=True, slots=True)
class ClockWindow:
    """The readings from `start` (minute of the day) on for the window's width, round midnight too.

    The quartiles are None where the window holds too few readings or days, or where one would lie
    between a result under the range and one over it; infinite where it is off the scale.
    """

    start: int
    middle: int
    n: int
    days: int
    q1: float | None
    median: float | None
    q3: float | None


def clock_windows(
    values: ArrayLike,
    minutes: ArrayLike,
    days: ArrayLike,
    *,
    width: int = 120,
    step: int = 30,
    fewest: int = CLOCK_WINDOW.needed,
    fewest_days: int = CLOCK_WINDOW.days_needed,
) -> tuple[ClockWindow, ...]:
    """Quartiles (type 7) of the readings in each window of the clock.

    Parameters
    ----------
    values : array_like, shape (n,)
        One value for each reading, all in one unit, off-scale results as -inf or +inf; order does
        not matter.
    minutes : array_like of int, shape (n,)
        Minute of the local day by the wall clock, 0 to 1439.
    days : array_like of int, shape (n,)
        The diary-day number of each reading.
    width, step : int, default 120 and 30
        Minutes that a window spans, its end not included, and from one start to the next. The step
        must divide the width, and both the day.
    fewest, fewest_days : int, default 12 and 7
        Readings and different days that a window needs to have quartiles.

    Returns
    -------
    tuple of ClockWindow
        One for each step of the day, the first starting at minute 0; a reading is in ``width /
        step`` of them.

    Raises
    ------
    ValueError
        If an argument is not one-dimensional, holds NaN or has another length, or a minute or a
        span is not of the day.

    Examples
    --------
    >>> found = clock_windows([100, 120], [5, 1435], [1, 2], fewest=2, fewest_days=2)
    >>> found[46]
    ClockWindow(start=1380, middle=0, n=2, days=2, q1=105.0, median=110.0, q3=115.0)
    """
    numbers = as_values(values, infinite=True)
    minute = _minutes_of_day(minutes, numbers.size)
    day = as_labels(days, "days", numbers.size)
    if step < 1 or width < step or width > MINUTES_A_DAY or width % step or MINUTES_A_DAY % step:
        raise ValueError(f"windows must fit the day: width={width}, step={step}")
    steps, span = MINUTES_A_DAY // step, width // step
    place = minute // step
    n = _over_windows(np.bincount(place, minlength=steps), span)
    distinct = _days_in_windows(place, day, steps, span)
    shown = np.flatnonzero((n >= max(fewest, 1)) & (distinct >= fewest_days))
    quarters = np.full((steps, 3), np.nan)
    if shown.size:
        quarters[shown] = _quartiles(numbers, place, n, steps, span, shown)
    return tuple(
        ClockWindow(
            start * step,
            (start * step + width // 2) % MINUTES_A_DAY,
            int(n[start]),
            int(distinct[start]),
            *(number_or_none(quantile) for quantile in quarters[start]),
        )
        for start in range(steps)
    )


def untested_hours(minutes: ArrayLike) -> tuple[int, ...]:
    """The hours of the day, 0 to 23, in which there is no reading at all.

    Parameters
    ----------
    minutes : array_like of int, shape (n,)
        Minute of the local day by the wall clock, 0 to 1439.

    Raises
    ------
    ValueError
        If `minutes` is not one-dimensional, not whole numbers or not of the day.

    Examples
    --------
    >>> untested_hours([h * 60 for h in range(6, 24)])
    (0, 1, 2, 3, 4, 5)
    """
    minute = _minutes_of_day(minutes, np.size(minutes))
    return tuple(np.flatnonzero(np.bincount(minute // 60, minlength=24) == 0).tolist())


def _minutes_of_day(minutes: ArrayLike, size: int) -> IntArray:
    minute = as_labels(minutes, "minutes", size)
    if size and not 0 <= int(minute.min()) <= int(minute.max()) < MINUTES_A_DAY:
        raise ValueError(f"minutes must lie from 0 to 1439: {minute.min()} to {minute.max()}")
    return minute


def _over_windows(counts: IntArray, span: int) -> IntArray:
    """Sums over `span` steps from each step on, round the end, along the first axis."""
    total = counts.copy()
    for shift in range(1, span):
        total += np.roll(counts, -shift, axis=0)
    return total


def _days_in_windows(place: IntArray, days: IntArray, steps: int, span: int) -> IntArray:
    """How many different days each window has a reading on."""
    new = np.ones(days.size, dtype=bool)
    new[1:] = days[1:] != days[:-1]
    if (days[1:] >= days[:-1]).all():  # as the store gives them: no sort
        number, many = np.cumsum(new) - 1, int(np.count_nonzero(new))
    else:
        different, number = np.unique(days, return_inverse=True)
        many = different.size
    there = np.zeros((steps, many), dtype=bool)
    there[place, number] = True
    inside = there.copy()
    for shift in range(1, span):
        inside |= np.roll(there, -shift, axis=0)
    found: IntArray = inside.sum(axis=1, dtype=np.int64)
    return found


def _quartiles(
    values: FloatArray, place: IntArray, n: IntArray, steps: int, span: int, shown: IntArray
) -> FloatArray:
    """Quartiles of the shown windows, shape (shown, 3)."""
    sizes = n[shown][:, np.newaxis]
    lower, fraction = positions(sizes, QUARTERS, 7)
    ranks = np.hstack((lower, np.minimum(lower + 1, sizes - 1)))
    coded = on_levels(values)
    if coded is not None:
        width = coded.levels.size
        counts = np.bincount(place * width + coded.codes, minlength=steps * width)
        table = _over_windows(counts.reshape(steps, width), span)
        pair = ranked_by_group(table[shown], coded.levels, ranks)
    else:
        pair = _ranked_slices(values, place, steps, span, shown, ranks)
    return between(pair[:, :3], pair[:, 3:], fraction)


def _ranked_slices(
    values: FloatArray, place: IntArray, steps: int, span: int, shown: IntArray, ranks: IntArray
) -> FloatArray:
    """Values at ranks in each shown window, by partial sorting: for many different values."""
    # Steps in a row, the first ones again at the end, so that a window is one slice.
    by_step = values[np.argsort(place.astype(np.int16), kind="stable")]
    edges = np.concatenate(([0], np.cumsum(np.bincount(place, minlength=steps))))
    edges = np.concatenate((edges, edges[1:span] + values.size))
    round_the_clock = np.concatenate((by_step, by_step[: edges[span - 1]]))
    found = np.empty(ranks.shape)
    for row, start in enumerate(shown):
        found[row] = partitioned(round_the_clock[edges[start] : edges[start + span]], ranks[row])
    return found
