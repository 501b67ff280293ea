"""The slots of a modal day: when each is tested, its median, middle half, lows and highs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from app.domain.levels import Level
from app.domain.marks import MARKS, SLOTS, Mark
from app.review.counted import Counted
from app.review.day_axis import DAY_MINUTES, times_round_clock
from app.review.figure import Figure, OffScale, quantile_figure, too_little
from app.review.judging import Judgement
from app.review.marks_drawn import LEVELS
from app.statistics import enough
from app.statistics.quantiles import quantiles
from app.store.columns import ABOVE, BELOW

NARROWEST = 44.0  # minutes: a thinner box could not be told from a mark
# One test at an odd hour must not widen the box: it spans the middle nine tenths of the times.
_TIMES = (0.05, 0.5, 0.95)
_QUARTERS = (0.25, 0.5, 0.75)
_COLUMN_INSET = 0.08


@dataclass(frozen=True, slots=True)
class SlotBox:
    """One slot: its figures from five readings on, and the part of the axis where it is tested.

    `centre` is the median time of its readings, None where there are none; `start` and `end` may
    lie over an end of the axis, which goes round. `lows` and `highs` count readings below 3.9 and
    above 10.0 (70 and 180), the far ones among them; `below_goal` and `above_goal` those outside
    the goal of their mark on their day, of `judged` that had one.
    """

    mark: Mark
    n: int
    centre: float | None
    start: float
    end: float
    q1: Figure
    median: Figure
    q3: Figure
    lows: int
    far_lows: int
    highs: int
    far_highs: int
    below_goal: int
    above_goal: int
    judged: int

    @property
    def has_box(self) -> bool:
        """Whether there are enough readings for a median."""
        return isinstance(self.median, float | OffScale)

    @property
    def short_of(self) -> int:
        """How many readings more would do for a box."""
        return max(0, enough.SLOT_BOX.needed - self.n)


def slot_boxes(
    counted: Counted,
    minutes: NDArray[np.float64],
    level: NDArray[np.int8],
    judgement: Judgement,
    *,
    as_columns: bool,
) -> tuple[SlotBox, ...]:
    """All eight slots, in the order of the day.

    Parameters
    ----------
    counted : Counted
        The readings; those without a slot are in none.
    minutes : ndarray, shape (n,)
        Whole minutes from the start of the axis.
    level : ndarray, shape (n,)
        Their levels, as places in `LEVELS`.
    judgement : Judgement
        The same readings against the goals.
    as_columns : bool
        Let slot `k` span the column from `k` to `k + 1` instead of its own times.
    """
    goals = {each.mark: each for each in judgement.marks}
    mark = counted.columns.mark.astype(np.int64)
    times = _table(mark, minutes.astype(np.int64), DAY_MINUTES)
    levels = _table(mark, level, len(LEVELS))
    numbers = _by_slot(counted.values[counted.exact], counted.columns.mark[counted.exact])
    off_scale = counted.where(~counted.exact)
    boxes = []
    for code, slot in enumerate(SLOTS):
        n = int(levels[code].sum())
        if as_columns:
            centre = code + 0.5 if n else None
            start, end = code + _COLUMN_INSET, code + 1 - _COLUMN_INSET
        else:
            centre, start, end = _times(times[code])
        q1, median, q3 = _quartiles(
            numbers[code], off_scale.where(off_scale.columns.mark == code), n
        )
        lows, far_lows, highs, far_highs = _by_level(levels[code])
        goal = goals.get(slot)
        boxes.append(
            SlotBox(
                mark=slot,
                n=n,
                centre=centre,
                start=start,
                end=end,
                q1=q1,
                median=median,
                q3=q3,
                lows=lows,
                far_lows=far_lows,
                highs=highs,
                far_highs=far_highs,
                below_goal=goal.below if goal else 0,
                above_goal=goal.above if goal else 0,
                judged=goal.n if goal else 0,
            )
        )
    return tuple(boxes)


def column_places(
    marks: NDArray[np.int8], days: NDArray[np.int32], first: int, last: int
) -> NDArray[np.float64]:
    """Places in columns of equal width, dates from left to right within each."""
    wide = 1 - 2 * _COLUMN_INSET
    along = (days - first) / (last - first) if last > first else np.full(days.shape, 0.5)
    return np.asarray(marks + _COLUMN_INSET + wide * along, dtype=np.float64)


def _table(mark: NDArray[np.int64], kind: NDArray[Any], kinds: int) -> NDArray[np.int64]:
    """How many readings of each mark are of each kind; one row for each mark."""
    counts = np.bincount(mark * kinds + kind, minlength=len(MARKS) * kinds)
    return counts.reshape(len(MARKS), kinds)


def _by_slot(values: NDArray[np.float64], mark: NDArray[np.int8]) -> list[NDArray[np.float64]]:
    """The values of each mark."""
    order = np.argsort(mark, kind="stable")  # small integers are sorted by counting
    ends = np.cumsum(np.bincount(mark, minlength=len(MARKS)))
    return np.split(values[order], ends[:-1])


def _times(counts: NDArray[np.int64]) -> tuple[float | None, float, float]:
    found = times_round_clock(counts, _TIMES)
    if found is None:
        return None, 0.0, 0.0
    start, centre, end = found
    narrow = NARROWEST - (end - start)
    if narrow > 0:
        start, end = start - narrow / 2, end + narrow / 2
    return centre, start, end


def _quartiles(
    numbers: NDArray[np.float64], off_scale: Counted, n: int
) -> tuple[Figure, Figure, Figure]:
    short = too_little(enough.SLOT_BOX, there=n)
    if short is not None:
        return short, short, short
    bound = off_scale.columns.bound
    below, above = (int(np.count_nonzero(bound == side)) for side in (BELOW, ABOVE))
    found = quantiles(numbers, _QUARTERS, below=below, above=above)
    if found is None:
        raise ValueError(f"there are no readings: n={n}")
    low, high = _limit(off_scale, BELOW), _limit(off_scale, ABOVE)
    q1, median, q3 = (
        quantile_figure(None if np.isnan(each) else float(each), low, high) for each in found
    )
    return q1, median, q3


def _limit(off_scale: Counted, side: int) -> float | None:
    """The limit nearest to the middle, where all of them are known."""
    known, unknown = off_scale.limits(side)
    if unknown or not known.size:
        return None
    return float(known.max() if side == BELOW else known.min())


def _by_level(counts: NDArray[np.int64]) -> tuple[int, int, int, int]:
    count = counts.tolist()
    very_low, low = count[LEVELS.index(Level.VERY_LOW)], count[LEVELS.index(Level.LOW)]
    high, very_high = count[LEVELS.index(Level.HIGH)], count[LEVELS.index(Level.VERY_HIGH)]
    return low + very_low, very_low, high + very_high, very_high
