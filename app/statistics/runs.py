"""Readings gathered by day: the runs of equal day numbers, whatever order the readings came in."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.statistics.values import FloatArray, IntArray


@dataclass(frozen=True, slots=True)
class DayRuns:
    """Where each day begins in `values`, which are sorted by day, and how many it has."""

    values: FloatArray  # shape (n,)
    days: IntArray  # shape (d,), each day once, rising
    starts: IntArray  # shape (d,)
    counts: IntArray  # shape (d,)

    @property
    def sums(self) -> FloatArray:
        """The sum of each day's values, shape (d,)."""
        if not self.starts.size:
            return np.zeros(0)  # reduceat refuses an empty array
        return np.asarray(np.add.reduceat(self.values, self.starts), dtype=np.float64)

    @property
    def squared_deviations(self) -> FloatArray:
        """The sum of squared distances from each day's own mean, shape (d,)."""
        if not self.starts.size:
            return np.zeros(0)
        deviations = self.values - np.repeat(self.sums / self.counts, self.counts)
        return np.asarray(np.add.reduceat(deviations * deviations, self.starts), dtype=np.float64)


def runs_by_day(values: FloatArray, days: IntArray) -> DayRuns:
    """Gather values by day; days already in order, as the store gives them, cost no sort."""
    if days.size > 1 and (days[1:] < days[:-1]).any():
        order = np.argsort(days, kind="stable")
        values, days = values[order], days[order]
    starts = run_starts(days)
    counts = np.diff(np.append(starts, days.size))
    return DayRuns(values, days[starts], starts, counts)


def run_starts(*labels: IntArray) -> IntArray:
    """Where a new run of equal labels begins, shape (runs,); with several, of equal tuples."""
    first = labels[0]
    new = np.ones(first.size, dtype=bool)
    if first.size:
        new[1:] = first[1:] != first[:-1]
    for label in labels[1:]:
        new[1:] |= label[1:] != label[:-1]
    return np.flatnonzero(new).astype(np.int64, copy=False)
