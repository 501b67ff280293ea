"""The figures of one set of readings: averages, spread, shares; each with its minimum data."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.domain.levels import HIGH_ABOVE, LOW_BELOW, VERY_HIGH_ABOVE, VERY_LOW_BELOW, Level
from app.domain.marks import EVENED_SLOTS, MARKS, Mark
from app.review.counted import Counted
from app.review.figure import (
    Figure,
    Mean,
    Missing,
    mean_figure,
    quantile_figure,
    too_little,
)
from app.statistics import enough
from app.statistics.days import days_with_readings
from app.statistics.intervals import mean_interval
from app.statistics.mage import mage
from app.statistics.moments import (
    coefficient_of_variation,
    standard_deviation,
    within_day_cv,
)
from app.statistics.off_scale import BoundedMean, may_leave_out, mean_or_bound
from app.statistics.proportion import Proportion, band_counts, share_of
from app.statistics.quantiles import quantiles
from app.statistics.slots import evened_average
from app.store.columns import ABOVE, BELOW

_NO_MARK = MARKS.index(Mark.NONE)


@dataclass(frozen=True, slots=True)
class Evened:
    """The evened average: how many of the seven slots, the thinnest one's n, who is outside."""

    value: float | None
    at_least: float | None
    at_most: float | None
    slots: tuple[Mark, ...]
    smallest_n: int
    unmarked: int


@dataclass(frozen=True, slots=True)
class Quartiles:
    """Median and quartiles (type 7), minimum and maximum."""

    median: Figure
    q1: Figure
    q3: Figure
    lowest: Figure
    highest: Figure


@dataclass(frozen=True, slots=True)
class Spread:
    """SD, CV of all readings and CV within days, and what was left out of them off the scale."""

    sd: Figure
    cv: Figure
    within_day_cv: Figure
    off_scale_left_out: int


@dataclass(frozen=True, slots=True)
class Excursions:
    """MAGE and from how many days; those shorter than a seven-point profile give none."""

    value: Figure
    days: int


@dataclass(frozen=True, slots=True)
class Share:
    """The readings of one level: count, share and Wilson limits, or why the share is not shown."""

    level: Level
    found: Proportion
    missing: Missing | None


def mean_of(counted: Counted, *, minimum: bool, interval: bool = False) -> Mean | Missing:
    """The plain average; on demand with its 95 % interval over days."""
    short = too_little(enough.MEAN, there=counted.n) if minimum else None
    if short is not None:
        return short
    found = mean_figure(_bounded_mean(counted))
    days = counted.columns.day
    if not interval or isinstance(found, Missing) or found.value is None:
        return found
    if minimum and too_little(enough.MEAN_INTERVAL, days=days_with_readings(days)):
        return found
    limits = mean_interval(counted.values, days)
    if limits is None:
        return found
    return Mean(n=found.n, value=found.value, low=limits.low, high=limits.high)


def evened_of(counted: Counted) -> Evened | Missing:
    """The mean of the slot means over the seven slots from waking to bedtime."""
    kind = "exact"
    if counted.off_scale:
        bound = _bounded_mean(counted.where(_in_evened_slots(counted)))
        kind = bound.kind
        if kind == "none" and bound.why != "no_readings":
            return _as_missing(mean_figure(bound))
    found = evened_average(counted.values, counted.columns.mark, no_mark=_NO_MARK)
    if found.value is None:
        slots = len(found.slots)
        there = "is 1" if slots == 1 else "are none"
        return Missing(f"needs readings in 2 of the slots from waking to bedtime; there {there}")
    return Evened(
        value=found.value if kind == "exact" else None,
        at_least=found.value if kind == "at_least" else None,
        at_most=found.value if kind == "at_most" else None,
        slots=tuple(MARKS[slot] for slot in found.slots),
        smallest_n=found.smallest_n,
        unmarked=found.unmarked,
    )


def quartiles_of(counted: Counted, *, minimum: bool) -> Quartiles:
    """The median, the quartiles and the ends, off-scale results ordered at the ends."""
    below, above = (int(np.count_nonzero(counted.columns.bound == side)) for side in (BELOW, ABOVE))
    found = quantiles(counted.numbers, [0, 0.25, 0.5, 0.75, 1], below=below, above=above)
    if found is None:
        nothing = Missing("there are no readings")
        return Quartiles(nothing, nothing, nothing, nothing, nothing)
    low, high = _one_limit(counted, BELOW), _one_limit(counted, ABOVE)
    ends = [quantile_figure(None if np.isnan(each) else float(each), low, high) for each in found]
    median, quarters = None, None
    if minimum:
        median = too_little(enough.MEDIAN, there=counted.n)
        quarters = too_little(
            enough.SPREAD, there=counted.n, days=days_with_readings(counted.columns.day)
        )
    return Quartiles(
        median=median or ends[2],
        q1=quarters or ends[1],
        q3=quarters or ends[3],
        lowest=ends[0],
        highest=ends[4],
    )


def middle_of(counted: Counted) -> tuple[Figure, tuple[float, float] | None]:
    """Median and middle half of a slot, or what is missing for them."""
    short = too_little(enough.SLOT_BOX, there=counted.n)
    if short is not None:
        return short, None
    found = quartiles_of(counted, minimum=False)
    if isinstance(found.q1, float) and isinstance(found.q3, float):
        return found.median, (found.q1, found.q3)
    return found.median, None


def spread_of(counted: Counted, *, minimum: bool) -> Spread:
    """SD and CV of the readings that have a number; missing where too many are off the scale."""
    numbers, days, off = counted.numbers, counted.columns.day, counted.off_scale
    why = no_spread(counted)
    if why is not None:
        return Spread(why, why, why, off)
    short, daily = spread_too_little(counted) if minimum else None, None
    within = within_day_cv(
        numbers, days[counted.exact], fewest=enough.WITHIN_DAY_CV.a_day if minimum else 2
    )
    if minimum:
        daily = too_little(enough.WITHIN_DAY_CV, days=within.days)
    return Spread(
        sd=short or or_missing(standard_deviation(numbers), "needs 2 readings"),
        cv=short or or_missing(coefficient_of_variation(numbers), "needs 2 readings"),
        within_day_cv=daily or or_missing(within.value, "needs a day with 2 readings"),
        off_scale_left_out=off,
    )


def sd_of(counted: Counted, *, minimum: bool) -> Figure:
    """The SD as `spread_of` gives it, for who shows nothing else of the spread."""
    missing = no_spread(counted) or (spread_too_little(counted) if minimum else None)
    return missing or or_missing(standard_deviation(counted.numbers), "needs 2 readings")


def excursions_of(counted: Counted, *, minimum: bool) -> Excursions:
    """MAGE over the days that have a seven-point profile or more."""
    values = np.where(counted.exact, counted.values, np.inf)
    found = mage(values, counted.columns.instant // 60, counted.columns.day)
    short = too_little(enough.MAGE, days=found.days) if minimum else None
    return Excursions(
        short or or_missing(found.value, "needs a day with 7 readings or more"), found.days
    )


def shares_of(counted: Counted, *, minimum: bool) -> tuple[Share, ...]:
    """How many readings lie in each of the five levels."""
    found = band_counts(
        counted.ordered,
        very_low=counted.in_unit_entered(VERY_LOW_BELOW),
        low=counted.in_unit_entered(LOW_BELOW),
        high=counted.in_unit_entered(HIGH_ABOVE),
        very_high=counted.in_unit_entered(VERY_HIGH_ABOVE),
    )
    missing = None
    if minimum:
        missing = too_little(
            enough.SHARE, there=counted.n, days=days_with_readings(counted.columns.day)
        )
    elif not counted.n:
        missing = Missing("there are no readings")
    counts = (found.very_low, found.low, found.in_range, found.high, found.very_high)
    return tuple(
        Share(level, share_of(count, counted.n), missing)
        for level, count in zip(Level, counts, strict=True)
    )


def is_low(counted: Counted) -> NDArray[np.bool_]:
    """Which readings lie below 70 mg/dL (3.9 mmol/L)."""
    return np.asarray(counted.ordered < counted.in_unit_entered(LOW_BELOW))


def no_spread(counted: Counted) -> Missing | None:
    """Why there is no spread whatever the minimum: too many results off the scale."""
    off = counted.off_scale
    if may_leave_out(off, counted.n):
        return None
    return Missing(
        f"{off} of {counted.n} readings are off the meter's scale; "
        "a spread without them would look too small"
    )


def spread_too_little(counted: Counted) -> Missing | None:
    """What is missing for an SD and what is built on it."""
    days = days_with_readings(counted.columns.day)
    return too_little(enough.SPREAD, there=counted.n, days=days)


def or_missing(value: float | None, why: str) -> Figure:
    """A number as a figure, or why there is none."""
    return Missing(why) if value is None else value


def _bounded_mean(counted: Counted) -> BoundedMean:
    low, low_unknown = counted.limits(BELOW)
    high, high_unknown = counted.limits(ABOVE)
    return mean_or_bound(
        counted.numbers, low_limits=low, high_limits=high, unknown=low_unknown + high_unknown
    )


def _in_evened_slots(counted: Counted) -> NDArray[np.bool_]:
    return np.asarray(counted.columns.mark < len(EVENED_SLOTS))


def _one_limit(counted: Counted, side: int) -> float | None:
    """The limit to show for a figure off the scale: the nearest one to the middle, if all known."""
    known, unknown = counted.limits(side)
    if unknown or not known.size:
        return None
    return float(known.max() if side == BELOW else known.min())


def _as_missing(found: Mean | Missing) -> Missing:
    return found if isinstance(found, Missing) else Missing("there is only a bound")
