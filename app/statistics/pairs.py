"""Pairs of one meal: the reading before it and the one after, and why others make no pair."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from app.statistics.meal_windows import AFTER_MINUTES, BEFORE_MINUTES, AfterWindow, after_window
from app.statistics.moments import mean
from app.statistics.pair_rules import (
    MealReading,
    Noted,
    StartFrom,
    Why,
    start_of,
    what_stands_against,
)
from app.statistics.quantiles import quantiles

_BEST = {"2 h": 120, "1 h": 60}


@dataclass(frozen=True, slots=True)
class Pair:
    """Two readings of one meal, when it began, and how many minutes after that the later one is."""

    before: MealReading
    after: MealReading
    start: int
    start_from: StartFrom
    minutes: int

    @property
    def window(self) -> AfterWindow:
        """The window of the later one: 2 h or 1 h after."""
        return after_window(self.minutes)

    @property
    def rise(self) -> float:
        """The later less the earlier value; negative for a fall."""
        return self.after.value - self.before.value


@dataclass(frozen=True, slots=True)
class NotPaired:
    """A reading without a partner, or two that make no pair; `minutes` as the reason has them."""

    before: MealReading | None
    after: MealReading | None
    why: Why
    minutes: int | None = None


@dataclass(frozen=True, slots=True)
class MealPairs:
    """All pairs in the order of time, and all readings that make none."""

    pairs: tuple[Pair, ...]
    not_paired: tuple[NotPaired, ...]


@dataclass(frozen=True, slots=True)
class Rise:
    """The rises of `n` pairs: median, ends and mean; None without pairs."""

    n: int
    median: float | None
    lowest: float | None
    highest: float | None
    mean: float | None


def meal_pairs(
    readings: Iterable[MealReading],
    noted: Noted | None = None,
    *,
    before_minutes: int = BEFORE_MINUTES,
) -> MealPairs:
    """Pair readings before and after the same meal, one pair a meal.

    A reading after a meal goes with the last one before the same kind of meal, up to four hours
    after the latest start that fits it. The pair is valid when the one lies in the window before
    the start (`start_of`) and the other in that of 2 h or of 1 h after it, and no food, dose or
    hard exercise is noted between them. Of several the one nearest to 2 h is taken, else the one
    nearest to 1 h.

    Parameters
    ----------
    readings : iterable of MealReading
        In any order.
    noted : Noted, optional
        What was written beside them.
    before_minutes : int, default 60
        How long before a meal a reading counts as before it (common practice).
    """
    notes = noted or Noted()
    pairs: list[Pair] = []
    rest: list[NotPaired] = []
    for before, after, following in _occasions(readings, before_minutes):
        if before is None:
            rest += [NotPaired(None, each, Why.NO_BEFORE) for each in after]
        elif not after:
            soon = following is not None and following - before.instant <= before_minutes * 60
            rest.append(NotPaired(before, None, Why.LATER_BEFORE if soon else Why.NO_AFTER))
        else:
            found, left = _of_occasion(before, after, notes, before_minutes)
            pairs += found
            rest += left
    pairs.sort(key=lambda pair: _order(pair.before))
    rest.sort(key=lambda each: [_order(one) for one in (each.before, each.after) if one])
    return MealPairs(tuple(pairs), tuple(rest))


def rise_of(rises: Sequence[float]) -> Rise:
    """Sum up the rises of pairs: median (type 7), lowest, highest, mean.

    Examples
    --------
    >>> rise_of([4.5, 2.0, 6.5])
    Rise(n=3, median=4.5, lowest=2.0, highest=6.5, mean=4.333333333333333)
    """
    found = quantiles(rises, [0, 0.5, 1])
    if found is None:
        return Rise(0, None, None, None, None)
    low, middle, high = (float(each) for each in found)
    return Rise(len(rises), middle, low, high, mean(rises))


_Order = tuple[int, float, str, int]
_Occasion = tuple[MealReading | None, list[MealReading], int | None]


def _occasions(readings: Iterable[MealReading], before_minutes: int) -> Iterator[_Occasion]:
    """Each reading before a meal with those after it, and when the next one before one came."""
    by_meal: dict[str, tuple[list[MealReading], list[MealReading]]] = {}
    for each in sorted(readings, key=_order):
        by_meal.setdefault(each.meal, ([], []))[not each.is_before].append(each)
    reach = 60 * (before_minutes + AFTER_MINUTES)
    for befores, afters in by_meal.values():
        taken = 0
        times = [each.instant for each in afters]
        for before, following in pairwise([*befores, None]):
            assert before is not None
            end = following.instant + 1 if following else times[-1] + 1 if times else 0
            begins = bisect_left(times, before.instant + 1, taken)
            ends = bisect_left(times, min(end, before.instant + reach + 1), begins)
            yield None, afters[taken:begins], None
            yield before, afters[begins:ends], following.instant if following else None
            taken = ends
        yield None, afters[taken:], None


def _of_occasion(
    before: MealReading, afters: Sequence[MealReading], noted: Noted, before_minutes: int
) -> tuple[list[Pair], list[NotPaired]]:
    valid: list[Pair] = []
    left: list[NotPaired] = []
    for after in afters:
        start = start_of(before, after, noted)
        against = what_stands_against(
            before, after, start.instant, noted, before_minutes=before_minutes
        )
        if against is None:
            minutes = (after.instant - start.instant) // 60
            valid.append(Pair(before, after, start.instant, start.known_from, minutes))
        else:
            left.append(NotPaired(before, after, *against))
    valid.sort(key=_nearness)
    left += [NotPaired(each.before, each.after, Why.MEAL_HAS_PAIR, each.minutes)
             for each in valid[1:]]  # fmt: skip
    return valid[:1], left


def _nearness(pair: Pair) -> tuple[bool, int, _Order]:
    return pair.window != "2 h", abs(pair.minutes - _BEST[pair.window]), _order(pair.after)


def _order(reading: MealReading) -> _Order:
    return reading.instant, reading.value, reading.meal, reading.key
