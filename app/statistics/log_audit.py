"""A written log against the meter's memory: what is identical, altered, left out or added."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from app.statistics.proportion import Proportion, share_of
from app.statistics.values import FloatArray, IntArray, as_count, as_labels, as_values

MATCH_SECONDS = 300  # a rule of this diary: clocks and pens are up to five minutes apart


@dataclass(frozen=True, slots=True)
class LogAudit:
    """A log and a memory side by side.

    `precision` identical entries of those in the log · `omission` results in the memory alone of
    those in the memory · `addition` entries in the log alone of those in the log · `altered`
    matched in time with another value · `meter_mean` and `log_mean` of all values of each, None
    where it has none.
    """

    precision: Proportion
    omission: Proportion
    addition: Proportion
    altered: int
    meter_mean: float | None
    log_mean: float | None


def audit_log(
    meter_at: ArrayLike,
    meter_values: ArrayLike,
    log_at: ArrayLike,
    log_values: ArrayLike,
    *,
    match_seconds: int = MATCH_SECONDS,
) -> LogAudit:
    """Match log entries to results of the memory by time, one to one, and compare the values.

    The nearest pairs match first; of equally near ones those with the same value, then the earlier.

    Parameters
    ----------
    meter_at, log_at : array_like of int, shapes (m,) and (k,)
        UTC seconds; order does not matter.
    meter_values, log_values : array_like, shapes (m,) and (k,)
        As shown and as written, all in one unit.
    match_seconds : int, default 300
        How far apart a pair may be, that many seconds included.

    Raises
    ------
    ValueError
        If an argument is not one-dimensional, not finite or of another length.

    References
    ----------
    Precision, omission and addition as in R. S. Mazze et al. (1984), Am. J. Med. 77, 211-217
    (abstract read); the tolerance is a rule of this diary.

    Examples
    --------
    >>> found = audit_log([0, 18_000, 39_600], [110, 240, 150], [60, 18_000], [110, 200])
    >>> found.precision.count, found.altered, found.omission.count, found.addition.count
    (1, 1, 1, 0)
    """
    memory, written = as_values(meter_values, "meter_values"), as_values(log_values, "log_values")
    meter_time = as_labels(meter_at, "meter_at", memory.size)
    log_time = as_labels(log_at, "log_at", written.size)
    within = as_count(match_seconds, "match_seconds")
    matched = _matched(*_candidates(meter_time, memory, log_time, written, within))
    same = sum(1 for i, j in matched if memory[i] == written[j])
    return LogAudit(
        precision=share_of(same, written.size),
        omission=share_of(memory.size - len(matched), memory.size),
        addition=share_of(written.size - len(matched), written.size),
        altered=len(matched) - same,
        meter_mean=float(np.mean(memory)) if memory.size else None,
        log_mean=float(np.mean(written)) if written.size else None,
    )


def _candidates(
    meter_at: IntArray, memory: FloatArray, log_at: IntArray, written: FloatArray, within: int
) -> tuple[IntArray, IntArray]:
    """All pairs near enough, the best first; places in the arrays given."""
    by_time = np.argsort(log_at, kind="stable")
    sorted_at = log_at[by_time]
    first = np.searchsorted(sorted_at, meter_at - within, side="left")
    counts = np.searchsorted(sorted_at, meter_at + within, side="right") - first
    i = np.repeat(np.arange(meter_at.size), counts)
    along = np.arange(i.size) - np.repeat(np.cumsum(counts) - counts, counts)
    j = by_time[first[i] + along]
    apart = np.abs(meter_at[i] - log_at[j])
    # Values last: with equal times the pairs come in one order, whatever order they were given in.
    keys = (written[j], memory[i], log_at[j], meter_at[i], memory[i] != written[j], apart)
    order = np.lexsort(keys)
    return i[order], j[order]


def _matched(i: IntArray, j: IntArray) -> list[tuple[int, int]]:
    taken_i: set[int] = set()
    taken_j: set[int] = set()
    found = []
    for one, other in zip(i.tolist(), j.tolist(), strict=True):
        if one not in taken_i and other not in taken_j:
            taken_i.add(one)
            taken_j.add(other)
            found.append((one, other))
    return found
