"""One night as a story of three parts: bedtime, the lowest value of the night, waking.

That glucose rises towards the morning by itself is only spoken of with a value from the night. Such
a rise is 20 mg/dL (1.1 mmol/L) or more from the night's lowest to the value before breakfast, as in
studies that measured all night (doi 10.2337/dc12-2127, read in abstract). One finger-stick in the
night only stands in for the lowest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from app.domain.glucose import LimitPair, Unit
from app.review.counted import Counted
from app.review.judging import goals_of, is_high
from app.review.pairs import differ_by_error
from app.review.record import Record
from app.review.seen import Seen, all_seen, seen_at
from app.statistics.night_stories import NightParts, NightReading
from app.store.columns import MMOL_L

DAWN_RISE = LimitPair(20, 1.1)
_DIGITS = 9  # 7.1 - 6.0 must be 1.1


class Told(StrEnum):
    """What a night shows between its lowest value and waking."""

    NO_NIGHT = "no_night"  # nothing was tested in the night: nothing can be said of it
    NO_WAKING = "no_waking"
    LOW_THEN_HIGH = "low_then_high"
    LOW = "low"
    FOOD = "food"  # eaten between
    RISE = "rise"
    NO_RISE = "no_rise"
    OFF_SCALE = "off_scale"


@dataclass(frozen=True, slots=True)
class Night:
    """One night, named by its evening; changes are in the person's unit.

    `change` from bedtime to waking, `rise` from the lowest value of the night to waking; None where
    one of the two is missing or off the scale · `within_error`, `rise_within_error` when that is
    smaller than what meters are permitted to be wrong by · `waking_high` and `bedtime_high` against
    their goals, None without such a reading.
    """

    evening: date
    bedtime: Seen | None
    between: tuple[Seen, ...]
    lowest: Seen | None
    waking: Seen | None
    change: float | None
    within_error: bool
    rise: float | None
    rise_within_error: bool
    told: Told
    bedtime_high: bool | None
    waking_high: bool | None

    @property
    def has_all(self) -> bool:
        """Whether it has a value at bedtime, in the night and on waking."""
        return bool(self.bedtime and self.between and self.waking)


class NightTeller:
    """Tells the nights of some readings, each against its own goal.

    `low` says which readings lie below the person's low line, `food` when food was noted (seconds).
    """

    def __init__(
        self,
        counted: Counted,
        record: Record,
        *,
        low: NDArray[np.bool_],
        food: Sequence[int],
    ) -> None:
        self._counted = counted
        self._day_start = record.person.day_start
        self._low = low
        self._high = is_high(counted, goals_of(counted, record.targets))
        self._food = np.asarray(food, dtype=np.int64)

    def night(self, parts: NightParts) -> Night:
        """One night."""
        bedtime, lowest, waking = parts.bedtime, parts.lowest, parts.waking
        change = self._change(bedtime, waking)
        return Night(
            evening=date.fromordinal(parts.night),
            bedtime=self._seen(bedtime),
            between=all_seen(
                self._counted.columns, (each.key for each in parts.between), self._day_start
            ),
            lowest=self._seen(lowest),
            waking=self._seen(waking),
            change=change,
            within_error=self._is_error(bedtime, waking),
            rise=self._change(lowest, waking),
            rise_within_error=self._is_error(lowest, waking),
            told=self._told(lowest, waking),
            bedtime_high=None if bedtime is None else bool(self._high[bedtime.key]),
            waking_high=None if waking is None else bool(self._high[waking.key]),
        )

    def _told(self, lowest: NightReading | None, waking: NightReading | None) -> Told:
        if lowest is None:
            return Told.NO_NIGHT
        if self._low[lowest.key]:
            high = waking is not None and self._high[waking.key]
            return Told.LOW_THEN_HIGH if high else Told.LOW
        if waking is None:
            return Told.NO_WAKING
        if not (self._counted.exact[lowest.key] and self._counted.exact[waking.key]):
            return Told.OFF_SCALE
        if np.any((self._food >= lowest.instant) & (self._food < waking.instant)):
            return Told.FOOD
        return Told.RISE if self._is_dawn_rise(lowest.key, waking.key) else Told.NO_RISE

    def _is_dawn_rise(self, lowest: int, waking: int) -> bool:
        """Compared in the unit that both were entered in, else in mg/dL."""
        columns = self._counted.columns
        unit, values = Unit.MG_DL, columns.mg_dl
        if columns.unit[lowest] == columns.unit[waking] == MMOL_L:
            unit, values = Unit.MMOL_L, columns.entered
        risen = round(float(values[waking] - values[lowest]), _DIGITS)
        return risen >= DAWN_RISE.in_unit(unit)

    def _is_error(self, one: NightReading | None, other: NightReading | None) -> bool:
        if one is None or other is None or self._change(one, other) is None:
            return False
        return differ_by_error(self._counted, one.key, other.key)

    def _change(self, one: NightReading | None, other: NightReading | None) -> float | None:
        if one is None or other is None:
            return None
        if not (self._counted.exact[one.key] and self._counted.exact[other.key]):
            return None
        return float(self._counted.values[other.key] - self._counted.values[one.key])

    def _seen(self, reading: NightReading | None) -> Seen | None:
        if reading is None:
            return None
        return seen_at(self._counted.columns, reading.key, self._day_start)
