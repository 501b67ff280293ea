"""Which readings of a period count, ready for the statistics, and what was left out and why."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import FUTURE_SECONDS
from app.domain.glucose import MG_DL_PER_MMOL_L, LimitPair, Unit
from app.domain.marks import MARKS, Mark
from app.domain.reading import STANDINGS, Standing
from app.store.columns import ABOVE, BELOW, EXACT, MMOL_L, NO_VALUE, Columns

_COUNTED = STANDINGS.index(Standing.COUNTED)
_NO_MARK = MARKS.index(Mark.NONE)


@dataclass(frozen=True, slots=True)
class Counted:
    """The readings that count, in the order of time.

    `values` are in the person's unit, as entered where that is the same unit, and for a result off
    the scale its limit (0 where that is unknown). `ordered` are in the unit entered, for limits
    that are pairs: just beyond the limit, or infinite, where off the scale.
    """

    columns: Columns
    values: NDArray[np.float64]
    ordered: NDArray[np.float64]
    unit: Unit

    @property
    def n(self) -> int:
        """How many readings count, those off the scale too."""
        return len(self.columns)

    @property
    def exact(self) -> NDArray[np.bool_]:
        """Which of them have a number."""
        return np.asarray(self.columns.bound == EXACT)

    @property
    def off_scale(self) -> int:
        """How many are off the meter's scale."""
        return int(np.count_nonzero(self.columns.bound != EXACT))

    @property
    def unmarked(self) -> int:
        """How many have no mark."""
        return int(np.count_nonzero(self.columns.mark == _NO_MARK))

    @property
    def numbers(self) -> NDArray[np.float64]:
        """The values of those that have a number."""
        return self.values[self.exact]

    def limits(self, side: int) -> tuple[NDArray[np.float64], int]:
        """Known limits of the results off the scale on one side, and how many have none."""
        found = self.values[self.columns.bound == side]
        known = found[found > 0]
        return known, int(found.size - known.size)

    def in_unit_entered(self, limit: LimitPair) -> NDArray[np.float64]:
        """A limit pair as one number for each reading, in the unit it was entered in."""
        return np.where(self.columns.unit == MMOL_L, limit.mmol_l, limit.mg_dl)

    def where(self, chosen: NDArray[np.bool_]) -> Counted:
        """The chosen ones, still in order."""
        places = np.flatnonzero(chosen)
        if places.size == self.n:
            return self
        return Counted(
            self.columns.where(chosen), self.values[places], self.ordered[places], self.unit
        )


def counted_of(columns: Columns, unit: Unit, *, now: int) -> tuple[Counted, dict[str, int]]:
    """Take the readings that count out of a period, and count those left out by reason.

    Parameters
    ----------
    columns : Columns
        The readings of the period.
    unit : Unit
        The unit that figures are wanted in.
    now : int
        UTC seconds: what lies more than ten minutes after it is left out.
    """
    set_apart = columns.standing != _COUNTED
    no_value = ~set_apart & (columns.bound == NO_VALUE)
    future = ~set_apart & ~no_value & (columns.instant > now + FUTURE_SECONDS)
    left_out = {
        "set_aside": _how_many(columns.standing == STANDINGS.index(Standing.SET_ASIDE)),
        "not_mine": _how_many(columns.standing == STANDINGS.index(Standing.NOT_MINE)),
        "no_value": _how_many(no_value),
        "future": _how_many(future),
        "undated": columns.undated,
    }
    kept = columns.where(~(set_apart | no_value | future))
    return (
        Counted(kept, _values(kept, unit), _ordered(kept), unit),
        {reason: count for reason, count in left_out.items() if count},
    )


def _how_many(chosen: NDArray[np.bool_]) -> int:
    return int(np.count_nonzero(chosen))


def _values(columns: Columns, unit: Unit) -> NDArray[np.float64]:
    if unit is Unit.MG_DL:
        return columns.mg_dl
    return np.where(columns.unit == MMOL_L, columns.entered, columns.mg_dl / MG_DL_PER_MMOL_L)


def _ordered(columns: Columns) -> NDArray[np.float64]:
    entered = columns.entered
    if (columns.bound == EXACT).all():
        return entered
    limit = np.where(entered > 0, entered, np.nan)
    below = np.where(np.isnan(limit), -np.inf, np.nextafter(limit, -np.inf))
    above = np.where(np.isnan(limit), np.inf, np.nextafter(limit, np.inf))
    return np.select([columns.bound == BELOW, columns.bound == ABOVE], [below, above], entered)
