"""Meal rises: which readings are pairs of one meal, how much they rise, and which are none."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from app.domain.clock import Period
from app.domain.glucose import LimitPair, Unit
from app.domain.marks import MARKS
from app.domain.person import Person
from app.review.counted import Counted, counted_of
from app.review.figure import Missing, too_little
from app.review.meals import MEALS
from app.review.noted import noted_from
from app.review.record import Record
from app.review.seen import Seen, seen_at
from app.statistics import enough
from app.statistics.meal_windows import AfterWindow, is_within_error
from app.statistics.pair_rules import MealReading, StartFrom, Why
from app.statistics.pairs import NotPaired, Pair, Rise, meal_pairs, rise_of
from app.store.columns import MMOL_L
from app.store.diary import Diary
from app.store.happenings import doses_between, events_between
from app.store.meal_links import linked_meals

# ISO 15197:2013 as printed, a number for each unit: see app.statistics.meal_windows.
ERROR = LimitPair(15, 0.83)
ERROR_BELOW = LimitPair(100, 5.55)


@dataclass(frozen=True, slots=True)
class MealPair:
    """A pair: its meal, the readings, the minutes after the start, and the rise.

    `start_from` says how the start is known · `rise` is in the person's unit, negative for a fall ·
    `within_error` when it is smaller than what meters are permitted to be wrong by.
    """

    meal: str
    before: Seen
    after: Seen
    minutes: int
    window: AfterWindow
    start_from: StartFrom
    rise: float
    within_error: bool

    @property
    def in_doubt(self) -> bool:
        """Whether one of the two is in doubt."""
        return self.before.in_doubt or self.after.in_doubt


@dataclass(frozen=True, slots=True)
class MealNotPaired:
    """Readings that make no pair, and why; `minutes` as `app.statistics.pairs` has them.

    For a reading with none after it they are the minutes to the next value, if there is one.
    """

    meal: str
    before: Seen | None
    after: Seen | None
    why: Why
    minutes: int | None


@dataclass(frozen=True, slots=True)
class OfMeal:
    """The rises of one meal, or of all: the sum and how many pairs are of which kind.

    `missing` says why median and mean are not shown · `no_start` had no start of the meal written,
    so that the time of the reading before stands for it · `not_paired` counts by reason.
    """

    meal: str
    rise: Rise
    missing: Missing | None
    one_hour: int
    two_hours: int
    no_start: int
    within_error: int
    in_doubt: int
    without_doubt: Rise
    not_paired: dict[Why, int]


@dataclass(frozen=True, slots=True)
class PairsFound:
    """All pairs of a period in the order of time, what makes none, and the sums by meal.

    `by_meal` has the meals that have a reading before or after them, at last all together.
    """

    person: Person
    unit: Unit
    period: Period
    pairs: tuple[MealPair, ...]
    not_paired: tuple[MealNotPaired, ...]
    by_meal: tuple[OfMeal, ...]

    @property
    def all_meals(self) -> OfMeal:
        """All meals together."""
        return self.by_meal[-1]


def pairs_of(
    diary: Diary,
    record: Record,
    period: Period,
    *,
    now: datetime,
    meal: str | None = None,
    minimum: bool = True,
) -> PairsFound:
    """Pair the readings of a period of whole diary days before and after meals.

    A pair belongs to the day of its earlier reading. Readings in doubt stay in, and the sum without
    them stands beside. `meal` is one of the names of `app.review.meals.MEALS`.
    """
    person = record.person
    first, last = period.first.toordinal(), period.last.toordinal()
    wide = (first - 1, last + 1)  # a meal late in the evening is followed on the next day
    counted, _ = counted_of(record.columns.between(*wide), person.unit, now=int(now.timestamp()))
    noted = noted_from(events_between(diary, person, *wide), doses_between(diary, person, *wide))
    found = meal_pairs(_meal_readings(counted, linked_meals(diary, person), meal), noted)
    inside = (counted.columns.day >= first) & (counted.columns.day <= last)
    pairs = [each for each in found.pairs if inside[each.before.key]]
    rest = [each for each in found.not_paired if inside[_first_of(each).key]]
    shown = tuple(_pair(each, counted, person) for each in pairs)
    names = [kind.name for kind in MEALS]
    there = {each.before.meal for each in pairs} | {_first_of(each).meal for each in rest}
    return PairsFound(
        person=person,
        unit=person.unit,
        period=period,
        pairs=shown,
        not_paired=tuple(_not_paired(each, counted, person) for each in rest),
        by_meal=tuple(
            _of_meal(name, shown, rest, minimum=minimum)
            for name in [*(name for name in names if name in there), ALL]
        ),
    )


ALL = "all meals"


def _meal_readings(
    counted: Counted, linked: dict[int, int], wanted: str | None
) -> list[MealReading]:
    columns = counted.columns
    found = []
    for meal in MEALS:
        if wanted not in (None, meal.name):
            continue
        for marks, is_before in ((meal.before, True), (meal.after, False)):
            codes = [MARKS.index(mark) for mark in marks]
            for at in np.flatnonzero(np.isin(columns.mark, codes)).tolist():
                minutes = int(columns.after_min[at])
                found.append(
                    MealReading(
                        instant=int(columns.instant[at]),
                        value=float(counted.values[at]) if counted.exact[at] else float("inf"),
                        meal=meal.name,
                        is_before=is_before,
                        after_min=minutes if minutes >= 0 and not is_before else None,
                        start=linked.get(int(columns.id[at])),
                        key=at,
                    )
                )
    return found


def _pair(pair: Pair, counted: Counted, person: Person) -> MealPair:
    return MealPair(
        meal=pair.before.meal,
        before=seen_at(counted.columns, pair.before.key, person.day_start),
        after=seen_at(counted.columns, pair.after.key, person.day_start),
        minutes=pair.minutes,
        window=pair.window,
        start_from=pair.start_from,
        rise=pair.rise,
        within_error=differ_by_error(counted, pair.before.key, pair.after.key),
    )


def differ_by_error(counted: Counted, one: int, other: int) -> bool:
    """Whether two readings, by their places, differ by less than meters are permitted to err.

    Compared in the unit that both were entered in, else in mg/dL: so the unit of display changes no
    verdict. Both must have a number.
    """
    columns = counted.columns
    unit = Unit.MG_DL
    values = columns.mg_dl
    if columns.unit[one] == columns.unit[other] == MMOL_L:
        unit, values = Unit.MMOL_L, columns.entered
    return is_within_error(
        float(values[one]),
        float(values[other]),
        floor=ERROR.in_unit(unit),
        floor_below=ERROR_BELOW.in_unit(unit),
    )


def _not_paired(each: NotPaired, counted: Counted, person: Person) -> MealNotPaired:
    columns, minutes = counted.columns, each.minutes
    if each.why is Why.NO_AFTER and each.before is not None:
        following = each.before.key + 1  # the columns are in the order of time
        if following < counted.n:
            minutes = int(columns.instant[following] - columns.instant[each.before.key]) // 60
    before, after = (
        None if one is None else seen_at(columns, one.key, person.day_start)
        for one in (each.before, each.after)
    )
    return MealNotPaired(_first_of(each).meal, before, after, each.why, minutes)


def _of_meal(
    name: str, pairs: Sequence[MealPair], rest: Sequence[NotPaired], *, minimum: bool
) -> OfMeal:
    here = [pair for pair in pairs if name in (ALL, pair.meal)]
    reasons = Counter(each.why for each in rest if name in (ALL, _first_of(each).meal))
    return OfMeal(
        meal=name,
        rise=rise_of([pair.rise for pair in here]),
        missing=too_little(enough.RISE, there=len(here)) if minimum else None,
        one_hour=sum(pair.window == "1 h" for pair in here),
        two_hours=sum(pair.window == "2 h" for pair in here),
        no_start=sum(pair.start_from == "before_reading" for pair in here),
        within_error=sum(pair.within_error for pair in here),
        in_doubt=sum(pair.in_doubt for pair in here),
        without_doubt=rise_of([pair.rise for pair in here if not pair.in_doubt]),
        not_paired={why: reasons[why] for why in Why if reasons[why]},
    )


def _first_of(each: NotPaired) -> MealReading:
    found = each.before or each.after
    if found is None:
        raise ValueError("a reason without a reading")
    return found
