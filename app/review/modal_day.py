"""The modal day: all readings of a period laid over one day, ready to draw."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

import numpy as np

from app.domain.clock import Period
from app.domain.glucose import LimitPair, Unit
from app.domain.levels import LOW_BELOW, Level
from app.domain.marks import SLOTS, Mark
from app.review.counted import counted_of
from app.review.day_axis import (
    SlotStretch,
    Stretch,
    from_start,
    hours_as_stretches,
    slot_stretches,
)
from app.review.density import Density
from app.review.judging import judged
from app.review.lanes import Lanes, lanes_of
from app.review.marks_drawn import LEVELS, DrawnMarks, levels_of
from app.review.modal_day_marks import View, modal_marks
from app.review.modal_day_slots import SlotBox, slot_boxes
from app.review.modal_day_windows import Window, windows_of
from app.review.parts import is_low
from app.review.record import Record
from app.review.scale import GlucoseScale, glucose_scale
from app.statistics.clock_windows import untested_hours
from app.statistics.days import days_with_readings
from app.statistics.spells import low_spells
from app.store.columns import EXACT, Columns

Weekdays = Literal["all", "weekdays", "weekends"]
_SATURDAY = 5


@dataclass(frozen=True, slots=True)
class ModalDay:
    """A period laid over one day, in the person's unit.

    Places on the axis are minutes from `start_hour`, or in the view by slot columns of width 1.
    `n` readings on `days` diary days are in the figures; `unmarked` of them are in no slot. `lows`
    lie below 3.9 (70), `far_lows` of them below 3.0 (54). `marks` also hold what does not count.
    """

    unit: Unit
    period: Period
    view: View
    weekdays: Weekdays
    start_hour: int
    n: int
    days: int
    unmarked: int
    elsewhere: int  # marked, but with a mark that is not a slot
    lows: int
    far_lows: int
    rechecks: int
    doubtful: int
    left_out: Mapping[str, int]
    marks: DrawnMarks
    density: Density | None
    slots: tuple[SlotBox, ...]
    windows: tuple[Window, ...]
    untested: tuple[Stretch, ...]
    lanes: Lanes
    scale: GlucoseScale

    @property
    def slots_along(self) -> tuple[SlotBox, ...]:
        """The slots as they lie along the axis: night first where the axis begins before it."""
        night, waking = self.slots[-1], self.slots[0]
        if night.centre is None or self.view == "slots":
            return self.slots
        if waking.centre is not None and night.centre < waking.centre:
            return (night, *self.slots[:-1])
        return self.slots

    @property
    def most_lows(self) -> SlotBox | None:
        """The slot with most of the lows; None without a low in any slot."""
        most = max(self.slots, key=lambda slot: slot.lows)
        return most if most.lows else None

    @property
    def highest(self) -> SlotBox | None:
        """The slot with the highest median that has a number."""
        there = [(slot.median, slot) for slot in self.slots if isinstance(slot.median, float)]
        return max(there, key=lambda pair: pair[0])[1] if there else None


def modal_day(
    record: Record,
    period: Period,
    *,
    now: datetime,
    usual: Mapping[Mark, int] | None = None,
    weekdays: Weekdays = "all",
    view: View = "clock",
    start_hour: int | None = None,
    by_clock: bool = False,
    with_doubtful: bool = True,
    with_rechecks: bool = True,
    low_line: LimitPair | None = LOW_BELOW,
) -> ModalDay:
    """Lay a period of whole diary days over one day.

    Parameters
    ----------
    usual : mapping of Mark to int, optional
        The minutes at which the person usually tests: where the goal of one slot ends and that of
        the next begins.
    weekdays : {"all", "weekdays", "weekends"}
        Only diary days from Monday to Friday, or only Saturdays and Sundays.
    view : {"clock", "slots"}
        Readings by wall time, or in a column of equal width for each slot, by date.
    start_hour : int, optional
        Where the axis begins; the person's own start of the day unless given. It moves no reading
        to another diary day.
    by_clock : bool
        Also work out windows of two hours every half hour.
    with_doubtful, with_rechecks : bool
        Whether readings in doubt, and those that follow a low within the hour, are in the figures.
    low_line : LimitPair or None
        The safety line.
    """
    unit, instant = record.person.unit, int(now.timestamp())
    start = record.person.day_start if start_hour is None else start_hour
    columns = _on(record.between(period), weekdays)
    counted, left_out = counted_of(columns, unit, now=instant)
    recheck = low_spells(counted.columns.instant, is_low(counted)).recheck
    doubt = counted.columns.doubt != 0
    in_figures = (with_doubtful | ~doubt) & (with_rechecks | ~recheck)
    used = counted if in_figures.all() else counted.where(in_figures)
    level = levels_of(used)
    marks, density = modal_marks(columns, used, level, period, view=view, start_hour=start)
    lanes = lanes_of(
        record.targets,
        period,
        _stretches(view, usual or {}, start),
        unit,
        low_line=None if low_line is None else low_line.in_unit(unit),
    )
    minutes = from_start(used.columns.minute, start)
    slots = slot_boxes(
        used, minutes, level, judged(used, record.targets), as_columns=view == "slots"
    )
    untested = hours_as_stretches(untested_hours(used.columns.minute), start)
    return ModalDay(
        unit=unit,
        period=period,
        view=view,
        weekdays=weekdays,
        start_hour=start,
        n=used.n,
        days=days_with_readings(used.columns.day),
        unmarked=used.unmarked,
        elsewhere=used.n - used.unmarked - sum(slot.n for slot in slots),
        lows=int(np.count_nonzero(level <= LEVELS.index(Level.LOW))),
        far_lows=int(np.count_nonzero(level == LEVELS.index(Level.VERY_LOW))),
        rechecks=int(np.count_nonzero(recheck)),
        doubtful=int(np.count_nonzero(doubt)),
        left_out=left_out,
        marks=marks,
        density=density,
        slots=slots,
        windows=windows_of(used, start, untested) if by_clock and view == "clock" else (),
        untested=untested,
        lanes=lanes,
        scale=_scale(marks, lanes, unit),
    )


def _on(columns: Columns, weekdays: Weekdays) -> Columns:
    if weekdays == "all":
        return columns
    weekend = (columns.day - 1) % 7 >= _SATURDAY  # the first of January of year 1 was a Monday
    return columns.where(weekend if weekdays == "weekends" else ~weekend)


def _stretches(view: View, usual: Mapping[Mark, int], start: int) -> tuple[SlotStretch, ...]:
    if view == "slots":
        return tuple(SlotStretch(slot, at, at + 1) for at, slot in enumerate(SLOTS))
    return slot_stretches(usual, start)


def _scale(marks: DrawnMarks, lanes: Lanes, unit: Unit) -> GlucoseScale:
    numbers = marks.value[marks.bound == EXACT]
    ends = (float(numbers.min()), float(numbers.max())) if numbers.size else ()
    return glucose_scale(ends, lanes.limits, unit)
