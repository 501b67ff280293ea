"""Two sets of readings side by side: what each rests on, slot by slot, and evened."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.domain.levels import HIGH_ABOVE
from app.domain.marks import EVENED_SLOTS, MARKS, SLOTS, Mark
from app.review.apart import Apart, apart
from app.review.counted import Counted
from app.review.figure import Mean, Missing, too_little
from app.review.parts import is_low, mean_of
from app.review.periods import Portion
from app.statistics import enough
from app.statistics.days import days_with_readings
from app.statistics.proportion import share_of
from app.statistics.spells import low_spells

_NO_MARK = MARKS.index(Mark.NONE)


@dataclass(frozen=True, slots=True)
class OfSide:
    """What one side rests on; `mean` is plain, over all its readings, whatever their slot.

    `days_in_all` is None where a side is not made of days (a meter, a keeper, a place) ·
    `nights_tested` counts days whose night, from 00:00 to 05:00, has a reading · `lows` counts
    every low, `first_lows` leaves the `rechecks` out, which follow a low within the hour.
    """

    name: str
    n: int
    days: int
    days_in_all: int | None
    nights_tested: int
    mean: Mean | Missing
    lows: Portion
    first_lows: Portion
    rechecks: int
    highs: Portion
    unmarked: int
    in_doubt: int


@dataclass(frozen=True, slots=True)
class InSlot:
    """The readings of one side in one slot."""

    n: int
    days: int
    mean: Mean | Missing
    lows: Portion
    highs: Portion


@dataclass(frozen=True, slots=True)
class SlotRow:
    """One slot on both sides; `evened` where it is among those of the evened difference."""

    mark: Mark
    first: InSlot
    second: InSlot
    apart: Apart | Missing
    evened: bool


@dataclass(frozen=True, slots=True)
class TwoSides:
    """Both sides, slot by slot and evened.

    `evened` is over the slots of `slots`: those with enough readings on both sides, night left out
    unless it is the only one asked for. `plain` takes all readings of a side as one lot.
    """

    first: OfSide
    second: OfSide
    rows: tuple[SlotRow, ...]
    slots: tuple[Mark, ...]
    evened: Apart | Missing
    plain: Apart | Missing

    @property
    def mix_reverses(self) -> bool:
        """Whether the plain difference goes the other way, for the slots tested differ."""
        if isinstance(self.evened, Missing) or isinstance(self.plain, Missing):
            return False
        return self.evened.sign * self.plain.sign < 0


@dataclass(frozen=True, slots=True)
class SideNamed:
    """The readings of a side with what it is called and what of it could have been tested."""

    name: str
    counted: Counted
    nights: NDArray[np.int64]  # days whose night is tested
    days_in_all: int | None = None


def two_sides(
    first: SideNamed, second: SideNamed, *, mark: Mark | None = None, minimum: bool = True
) -> TwoSides:
    """Set two sides beside each other.

    Parameters
    ----------
    first, second : SideNamed
        The readings of each.
    mark : Mark, optional
        Look at this slot alone.
    minimum : bool, default True
        Show a figure only from enough readings; else from the mathematical minimum on.
    """
    counted = first.counted, second.counted
    looked_at = SLOTS if mark is None else (mark,)
    rows = [_row(*counted, each, mark=mark, minimum=minimum) for each in looked_at]
    slots = tuple(row.mark for row in rows if row.evened)
    codes = [MARKS.index(each) for each in slots]
    inside = [side.where(np.isin(side.columns.mark, codes)) for side in counted]
    return TwoSides(
        first=_of_side(first, minimum=minimum),
        second=_of_side(second, minimum=minimum),
        rows=tuple(row for row in rows if row.first.n or row.second.n),
        slots=slots,
        evened=apart(*inside, minimum=minimum)
        if slots
        else Missing(_no_slots(mark, minimum=minimum)),
        plain=apart(*counted, minimum=minimum, by_slot=False, over_days=False),
    )


def portion(hit: NDArray[np.bool_], counted: Counted, *, minimum: bool) -> Portion:
    """So many of the readings, with the share's limits or what is missing for them."""
    missing = None
    if minimum:
        days = days_with_readings(counted.columns.day)
        missing = too_little(enough.SHARE, there=counted.n, days=days)
    elif not counted.n:
        missing = Missing("there are no readings")
    return Portion(share_of(int(np.count_nonzero(hit)), counted.n), missing)


def is_high(counted: Counted) -> NDArray[np.bool_]:
    """Which readings lie above 10.0 (180), in the unit that each was entered in."""
    return np.asarray(counted.ordered > counted.in_unit_entered(HIGH_ABOVE))


def _of_side(side: SideNamed, *, minimum: bool) -> OfSide:
    counted = side.counted
    recheck = low_spells(counted.columns.instant, is_low(counted)).recheck
    rest = counted.where(~recheck)
    return OfSide(
        name=side.name,
        n=counted.n,
        days=days_with_readings(counted.columns.day),
        days_in_all=side.days_in_all,
        nights_tested=days_with_readings(side.nights),
        mean=mean_of(counted, minimum=minimum, interval=True),
        lows=portion(is_low(counted), counted, minimum=minimum),
        first_lows=portion(is_low(rest), rest, minimum=minimum),
        rechecks=int(np.count_nonzero(recheck)),
        highs=portion(is_high(counted), counted, minimum=minimum),
        unmarked=counted.unmarked,
        in_doubt=int(np.count_nonzero(counted.columns.doubt)),
    )


def _row(
    first: Counted, second: Counted, each: Mark, *, mark: Mark | None, minimum: bool
) -> SlotRow:
    code = MARKS.index(each)
    sides = [side.where(side.columns.mark == code) for side in (first, second)]
    needed = enough.MEAN.needed if minimum else 1
    thin = [side.n for side in sides if side.n < needed]
    counts = each in EVENED_SLOTS or each is mark
    return SlotRow(
        mark=each,
        first=_in_slot(sides[0], minimum=minimum),
        second=_in_slot(sides[1], minimum=minimum),
        apart=too_little(enough.MEAN, there=min(thin)) or Missing("one side has no readings")
        if thin
        else apart(*sides, minimum=minimum, over_days=False),
        evened=counts and not thin,
    )


def _in_slot(counted: Counted, *, minimum: bool) -> InSlot:
    return InSlot(
        n=counted.n,
        days=days_with_readings(counted.columns.day),
        mean=mean_of(counted, minimum=minimum),
        lows=portion(is_low(counted), counted, minimum=minimum),
        highs=portion(is_high(counted), counted, minimum=minimum),
    )


def _no_slots(mark: Mark | None, *, minimum: bool) -> str:
    if mark is not None and not minimum:
        return f"one side has no readings marked “{mark.words}”"
    readings = f"{enough.MEAN.needed} readings" if minimum else "a reading"
    if mark is not None:
        return f"needs {readings} marked “{mark.words}” on each side"
    return f"no slot from waking to bedtime has {readings} on each side"
