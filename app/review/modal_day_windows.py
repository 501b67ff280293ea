"""The modal day by the clock: quartiles of two hours, every half hour, and nothing across gaps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.review.counted import Counted
from app.review.day_axis import DAY_MINUTES, Stretch
from app.statistics.clock_windows import clock_windows
from app.store.columns import ABOVE, BELOW

WIDTH_MIN, STEP_MIN = 120, 30


@dataclass(frozen=True, slots=True)
class Window:
    """The quartiles of the two hours round a half hour, drawn over that half hour alone.

    `start` and `end` are minutes from the start of the axis; a quartile is infinite where it is
    off the meter's scale.
    """

    start: float
    end: float
    n: int
    days: int
    q1: float
    median: float
    q3: float


def windows_of(
    counted: Counted, start_hour: int, untested: tuple[Stretch, ...]
) -> tuple[Window, ...]:
    """The windows that hold enough, from left to right; none in an hour that was never tested."""
    bound = counted.columns.bound
    values = np.select([bound == BELOW, bound == ABOVE], [-np.inf, np.inf], counted.values)
    found = []
    for each in clock_windows(
        values, counted.columns.minute, counted.columns.day, width=WIDTH_MIN, step=STEP_MIN
    ):
        start = (each.middle - STEP_MIN / 2 - start_hour * 60) % DAY_MINUTES
        if each.q1 is None or each.median is None or each.q3 is None:
            continue
        for low, high in _on_axis(start):
            if not any(gap.start < high and low < gap.end for gap in untested):
                found.append(Window(low, high, each.n, each.days, each.q1, each.median, each.q3))
    return tuple(sorted(found, key=lambda window: window.start))


def _on_axis(start: float) -> list[tuple[float, float]]:
    """The half hour, in two parts where the end of the axis cuts it."""
    end = start + STEP_MIN
    if end <= DAY_MINUTES:
        return [(start, end)]
    return [(start, float(DAY_MINUTES)), (0.0, end - DAY_MINUTES)]
