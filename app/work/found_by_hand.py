"""Results that were written by hand, found again by value and time: each is met once."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable

from app.domain.glucose import Bound
from app.domain.marks import Mark
from app.domain.plans import NEAR_USUAL_MINUTES
from app.exchange.file_read import ControlRow, ReadingRow
from app.store.by_hand import ByHand
from app.work.file_rows import Placed

# Results of one test, typed and from the memory, are this close: people type at once, clocks of
# meters are off by minutes. A rule of this diary.
SAME_SECONDS = 600
# And where only one of them has a time, the other the usual time of its slot.
SAME_SLOT_SECONDS = NEAR_USUAL_MINUTES * 60


class ByValue:
    """Results by hand, to be found by value and time; each is met once."""

    def __init__(self, results: Iterable[ByHand]) -> None:
        self._by_value: dict[tuple[float, str], list[ByHand]] = {}
        self._of_slot: dict[tuple[float, str], list[ByHand]] = {}
        for each in results:
            held = self._of_slot if each.of_slot else self._by_value
            held.setdefault((float(each.value), each.unit), []).append(each)

    def __bool__(self) -> bool:
        return bool(self._by_value or self._of_slot)

    def nearest(self, each: Placed) -> ByHand | None:
        """The result of the same value nearest in time, within ten minutes.

        One that was written without a time: within two hours of the usual one, of no other mark.
        """
        row, instant = each.row, each.moment[0]
        if not self or instant is None or not isinstance(row, ReadingRow | ControlRow):
            return None
        glucose = row.glucose
        if glucose.bound is not Bound.EXACT or glucose.number is None:
            return None
        value = (glucose.number, glucose.unit.value)
        there = self._by_value.get(value, [])
        at = bisect_left(there, instant, key=lambda result: result.instant)
        close = [
            result
            for result in there[max(at - 1, 0) : at + 1]
            if abs(result.instant - instant) <= SAME_SECONDS
        ]
        if not close and isinstance(row, ReadingRow):
            close = [
                result
                for result in self._of_slot.get(value, ())
                if abs(result.instant - instant) <= SAME_SLOT_SECONDS
                and row.mark.value in (Mark.NONE.value, result.mark)
            ]
        return min(close, key=lambda result: abs(result.instant - instant), default=None)

    def take(self, there: ByHand) -> ByHand:
        """The result, which no other row meets from now on."""
        held = self._of_slot if there.of_slot else self._by_value
        held[(float(there.value), there.unit)].remove(there)
        return there
