"""What stands near a reading in time: the high that follows a low, the test beside a high."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from app.statistics.values import IntArray, as_count, as_labels

# Questions about over-treated lows are commonly asked of the four hours after one (no source).
AFTER_LOW_SECONDS = 4 * 3600
# Sick-day texts ask for ketones every 1 to 4 hours: one further away says little about a high.
KETONE_SECONDS = 4 * 3600


@dataclass(frozen=True, slots=True)
class Followed:
    """One entry for each high that follows a low: its place, that of the low, seconds between."""

    high: IntArray
    low: IntArray
    seconds: IntArray


def highs_after_lows(
    instants: ArrayLike, is_low: ArrayLike, is_high: ArrayLike, *, within: int = AFTER_LOW_SECONDS
) -> Followed:
    """The highs that come after a low, each with the last low before it.

    Parameters
    ----------
    instants : array_like of int, shape (n,)
        Seconds, sorted.
    is_low, is_high : array_like of bool, shape (n,)
        What each reading is.
    within : int, default 14400
        Seconds after the low that still count, the end included; a high of the same second as the
        low does not follow it.

    Raises
    ------
    ValueError
        If the arrays differ in length or the instants step back.

    Examples
    --------
    >>> highs_after_lows([0, 7200, 20000], [True, False, False], [False, True, True]).high.tolist()
    [1]
    """
    low, high, seconds = _marked(instants, is_low, is_high)
    last = _last_before(seconds, low)
    gap = np.where(last >= 0, seconds - seconds[np.maximum(last, 0)], within + 1)
    places = np.flatnonzero(high & (gap <= as_count(within, "within")))
    return Followed(places.astype(np.int64), last[places], gap[places])


def value_after(
    instants: ArrayLike, places: ArrayLike, *, within: int = AFTER_LOW_SECONDS
) -> NDArray[np.bool_]:
    """Whether any reading comes after each of some places, within so many seconds.

    Parameters
    ----------
    instants : array_like of int, shape (n,)
        Seconds, sorted.
    places : array_like of int, shape (k,)
        Places among them.

    Examples
    --------
    >>> value_after([0, 600, 90000], [0, 1, 2]).tolist()
    [True, False, False]
    """
    seconds = as_labels(instants, "instants", np.size(instants))
    asked = as_labels(places, "places", np.size(places))
    following = np.searchsorted(seconds, seconds[asked], side="right")
    there = following < seconds.size
    gap = seconds[np.minimum(following, seconds.size - 1)] - seconds[asked] if seconds.size else 0
    return np.asarray(there & (gap <= within))


def nearest_beside(
    instants: ArrayLike, others: ArrayLike, *, within: int = KETONE_SECONDS
) -> IntArray:
    """The place of the nearest of some other tests beside each reading, -1 where none is near.

    Parameters
    ----------
    instants : array_like of int, shape (n,)
        Seconds of the readings, in any order.
    others : array_like of int, shape (m,)
        Seconds of the other tests, sorted.
    within : int, default 14400
        Seconds before or after that still count, the end included. Of two as near, the later one.

    Raises
    ------
    ValueError
        If the others step back.

    Examples
    --------
    >>> nearest_beside([0, 50_000], [-3600, 5000]).tolist()
    [0, -1]
    """
    seconds = as_labels(instants, "instants", np.size(instants))
    tests = as_labels(others, "others", np.size(others))
    if np.any(np.diff(tests) < 0):
        raise ValueError("the other tests step back; sort them first")
    if not tests.size:
        return np.full(seconds.size, -1, dtype=np.int64)
    after = np.searchsorted(tests, seconds)
    before = np.maximum(after - 1, 0)
    after = np.minimum(after, tests.size - 1)
    to_after, to_before = np.abs(tests[after] - seconds), np.abs(tests[before] - seconds)
    near = np.where(to_after <= to_before, after, before)
    far = np.minimum(to_after, to_before) > as_count(within, "within")
    return np.where(far, -1, near).astype(np.int64)


def _marked(
    instants: ArrayLike, is_low: ArrayLike, is_high: ArrayLike
) -> tuple[NDArray[np.bool_], NDArray[np.bool_], IntArray]:
    low, high = np.asarray(is_low, dtype=np.bool_), np.asarray(is_high, dtype=np.bool_)
    if low.shape != high.shape:
        raise ValueError(f"lows and highs differ in length: {low.shape} and {high.shape}")
    seconds = as_labels(instants, "instants", low.size)
    if np.any(np.diff(seconds) < 0):
        raise ValueError("the instants step back; sort the readings first")
    return low, high, seconds


def _last_before(seconds: IntArray, low: NDArray[np.bool_]) -> IntArray:
    """The place of the last low of an earlier second, -1 where there is none."""
    lows = np.flatnonzero(low)
    if not lows.size:
        return np.full(seconds.size, -1, dtype=np.int64)
    earlier = np.searchsorted(seconds[lows], seconds, side="left") - 1
    return np.where(earlier >= 0, lows[np.maximum(earlier, 0)], -1).astype(np.int64)
