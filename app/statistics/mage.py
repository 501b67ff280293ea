"""MAGE of a record: the mean of its days' values, worked for all days of equal length at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.enough import MAGE, SPARSE_MAGE
from app.statistics.mage_day import TIE
from app.statistics.runs import run_starts
from app.statistics.values import FloatArray, IntArray, as_labels, as_values


@dataclass(frozen=True, slots=True)
class Mage:
    """The mean of the days' MAGE, the days that gave one, and why others gave none."""

    value: float | None
    days: int
    sparse_days: int  # of `days`, those with fewer results than a seven-point profile
    short_days: int  # left out: too few results
    off_scale_days: int  # left out: a result under or over the meter's range


def mage(values: ArrayLike, minutes: ArrayLike, days: ArrayLike, *, sparse: bool = False) -> Mage:
    """Mean amplitude of glucose excursions over the days of a record.

    Each day is worked by the rules of `mage_day.day_mage`; results of the same minute are averaged
    first. A day counts with at least seven results, and with four to six only if `sparse` is asked
    for. A day with an off-scale result gives none.

    Parameters
    ----------
    values : array_like, shape (n,)
        One value for each reading, all in one unit, off-scale results as -inf or +inf; order does
        not matter.
    minutes : array_like of int, shape (n,)
        The minute of each reading on a clock that never goes back: UTC minutes, not wall time.
    days : array_like of int, shape (n,)
        The diary-day number of each reading.
    sparse : bool, default False
        Count days with four to six results too; then say so beside the number.

    Returns
    -------
    Mage
        With no day that counts, ``value`` is None and ``days`` is 0.

    Raises
    ------
    ValueError
        If an argument is not one-dimensional, holds NaN or has another length.

    References
    ----------
    F. J. Service et al. (1970), Diabetes 19, 644-655 (abstract read; rules of this diary where it
    is silent).

    Examples
    --------
    >>> day = [100, 180, 110, 190, 90, 170, 120]
    >>> mage(day + day, range(14), [1] * 7 + [2] * 7)
    Mage(value=80.0, days=2, sparse_days=0, short_days=0, off_scale_days=0)
    """
    numbers = as_values(values, infinite=True)
    at = as_labels(minutes, "minutes", numbers.size)
    day = as_labels(days, "days", numbers.size)
    numbers, day, off_scale = _without_off_scale_days(*_in_time_order(numbers, at, day))
    starts = run_starts(day)
    counts = np.diff(np.append(starts, day.size))
    used = counts >= (SPARSE_MAGE if sparse else MAGE).a_day
    if not used.any():
        return Mage(None, 0, 0, counts.size, off_scale)
    found = [
        _mage_of_rows(numbers[starts[counts == length][:, np.newaxis] + np.arange(length)])
        for length in np.unique(counts[used])
    ]
    return Mage(
        value=float(np.mean(np.concatenate(found))),
        days=int(np.count_nonzero(used)),
        sparse_days=int(np.count_nonzero(used & (counts < MAGE.a_day))),
        short_days=int(np.count_nonzero(~used)),
        off_scale_days=off_scale,
    )


def _in_time_order(
    values: FloatArray, minutes: IntArray, days: IntArray
) -> tuple[FloatArray, IntArray, IntArray]:
    """Sort by day, then minute; the store's columns are in that order already."""
    back = (days[1:] < days[:-1]) | ((days[1:] == days[:-1]) & (minutes[1:] < minutes[:-1]))
    if back.any():
        order = np.lexsort((minutes, days))
        return values[order], minutes[order], days[order]
    return values, minutes, days


def _without_off_scale_days(
    values: FloatArray, minutes: IntArray, days: IntArray
) -> tuple[FloatArray, IntArray, int]:
    """Drop days with an infinite value, average equal minutes: values, days, days dropped."""
    left_out = 0
    finite = np.isfinite(values)
    if not finite.all():
        bad = np.unique(days[~finite])
        keep = ~np.isin(days, bad)
        values, minutes, days, left_out = values[keep], minutes[keep], days[keep], bad.size
    starts = run_starts(days, minutes)
    if starts.size < days.size:
        counts = np.diff(np.append(starts, days.size))
        values, days = np.add.reduceat(values, starts) / counts, days[starts]
    return values, days, left_out


def _mage_of_rows(rows: FloatArray) -> FloatArray:
    """MAGE of days with equally many results, shape (days, results), each row in time order.

    The same left-to-right filter as for one day, a column at a time for all days. Runs of equal
    results and points on the way need no pass of their own: only a new extreme or a swing back of
    more than the SD changes anything.
    """
    many, length = rows.shape
    deviations = rows - rows.mean(axis=1, keepdims=True)
    sd = np.sqrt((deviations * deviations).sum(axis=1) / (length - 1))
    threshold = sd + TIE * np.maximum(1.0, sd)
    low, high, extreme = rows[:, 0].copy(), rows[:, 0].copy(), rows[:, 0].copy()
    last = np.zeros(many)  # the point kept last
    way = np.zeros(many)  # +1 rising, -1 falling, 0 not yet known
    first_way = np.zeros(many)
    total, legs = np.zeros(many), np.zeros(many)
    for point in rows.T[1:]:
        ahead = way * (point - extreme)
        rises = (way == 0) & (point - low > threshold)
        falls = (way == 0) & (high - point > threshold)
        turns = -ahead > threshold
        counted = turns & (way == first_way)
        total += np.where(counted, np.abs(extreme - last), 0.0)
        legs += counted
        last = np.where(rises, low, np.where(falls, high, np.where(turns, extreme, last)))
        extreme = np.where((ahead > 0) | turns | rises | falls, point, extreme)
        way = np.where(turns, -way, way) + rises - falls
        first_way = np.where(first_way == 0, way, first_way)
        low, high = np.minimum(low, point), np.maximum(high, point)
    counted = (way != 0) & (way == first_way)  # the leg to the running extreme ends the day
    total += np.where(counted, np.abs(extreme - last), 0.0)
    legs += counted
    return total / np.maximum(legs, 1)
