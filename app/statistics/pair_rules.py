"""Whether a reading before and one after make a pair of one meal, and what stands against it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import isfinite
from typing import Literal, NamedTuple, TypeVar

from app.statistics.meal_windows import BEFORE_MINUTES, after_window, is_before_meal

SNACK = "snack"  # the meal that begins with food written as a snack
# Rules of this diary: courses and doses so close to the start belong to the meal itself.
SAME_MEAL_SECONDS = 15 * 60
# A reading before a meal is taken with no food in the last 2 h (common practice).
NO_FOOD_SECONDS = 2 * 3600
LONGEST_EXERCISE = 24 * 3600  # what is noted as longer is not looked for: a rule of this diary

StartFrom = Literal["written", "minutes_said", "before_reading"]
_T = TypeVar("_T", int, tuple[int, int])


class MealReading(NamedTuple):
    """A reading before or after a meal.

    `instant` seconds · `value` in one unit, infinite where off the scale · `meal` a name, equal for
    one kind of meal · `after_min` minutes after the start as said · `start` that of the meal it was
    linked with · `key` the caller's own.
    """

    instant: int
    value: float
    meal: str
    is_before: bool
    after_min: int | None = None
    start: int | None = None
    key: int = 0


@dataclass(frozen=True, slots=True)
class Noted:
    """What was written beside the readings, in seconds, each in the order of time.

    `meals` and `snacks` when they began · `doses` count against a pair when they come after the
    start of the meal, `corrections` whenever they come between · `exercise` hard exercise, from and
    to.
    """

    meals: Sequence[int] = ()
    snacks: Sequence[int] = ()
    doses: Sequence[int] = ()
    corrections: Sequence[int] = ()
    exercise: Sequence[tuple[int, int]] = ()


class Why(StrEnum):
    """Why readings make no pair."""

    NO_AFTER = "no_after"
    NO_BEFORE = "no_before"
    LATER_BEFORE = "later_before"
    OFF_SCALE = "off_scale"
    BEFORE_IS_LATE = "before_is_late"
    BEFORE_TOO_EARLY = "before_too_early"
    FOOD_BEFORE = "food_before"
    OUTSIDE = "outside"
    FOOD = "food"
    DOSE = "dose"
    EXERCISE = "exercise"
    MEAL_HAS_PAIR = "meal_has_pair"


class Start(NamedTuple):
    """When a meal began, and how that is known."""

    instant: int
    known_from: StartFrom


def start_of(before: MealReading, after: MealReading, noted: Noted) -> Start:
    """When the meal between two readings began.

    As the readings say: by the meal that they are linked with, by the minutes said, by the first
    meal written between them; else the time of the reading before stands for it.
    """
    for linked in (after.start, before.start):
        if linked is not None:
            return Start(linked, "written")
    if after.after_min is not None:
        return Start(after.instant - 60 * after.after_min, "minutes_said")
    starts = noted.snacks if before.meal == SNACK else noted.meals
    written = _first_between(starts, before.instant, after.instant)
    if written is not None:
        return Start(written, "written")
    return Start(before.instant, "before_reading")


def what_stands_against(
    before: MealReading,
    after: MealReading,
    start: int,
    noted: Noted,
    *,
    before_minutes: int = BEFORE_MINUTES,
) -> tuple[Why, int | None] | None:
    """The first reason why two readings are no pair, with its minutes; None where they are one.

    The minutes are those from the start of the meal to the reading after it for `OUTSIDE`, from the
    reading before to the start for `BEFORE_TOO_EARLY`, and from the start to what was noted
    otherwise.
    """
    if not (isfinite(before.value) and isfinite(after.value)):
        return Why.OFF_SCALE, None
    lead, later = (start - before.instant) // 60, (after.instant - start) // 60
    if start < before.instant:
        return Why.BEFORE_IS_LATE, -lead
    if not is_before_meal(lead, within=before_minutes):
        return Why.BEFORE_TOO_EARLY, lead
    for food in (noted.meals, noted.snacks):
        eaten = _first_between(food, before.instant - NO_FOOD_SECONDS, before.instant)
        if eaten is not None and eaten != start:
            return Why.FOOD_BEFORE, (eaten - start) // 60
    if after_window(later) not in ("1 h", "2 h"):
        return Why.OUTSIDE, later
    return _between(before.instant, after.instant, start, noted)


def _between(first: int, last: int, start: int, noted: Noted) -> tuple[Why, int] | None:
    for food in (noted.meals, noted.snacks):
        for eaten in _all_between(food, first, last):
            if abs(eaten - start) > SAME_MEAL_SECONDS:
                return Why.FOOD, (eaten - start) // 60
    correction = _first_between(noted.corrections, first, last)
    if correction is not None:
        return Why.DOSE, (correction - start) // 60
    dose = _first_between(noted.doses, start + SAME_MEAL_SECONDS + 1, last)
    if dose is not None:
        return Why.DOSE, (dose - start) // 60
    for begun, ended in _all_between(noted.exercise, (first - LONGEST_EXERCISE, 0), (last, 0)):
        if ended > first or begun >= first:
            return Why.EXERCISE, (begun - start) // 60
    return None


def _first_between(instants: Sequence[int], first: int, last: int) -> int | None:
    """The first of some instants with ``first <= instant < last``."""
    at = bisect_left(instants, first)
    return instants[at] if at < len(instants) and instants[at] < last else None


def _all_between(things: Sequence[_T], first: _T, last: _T) -> Sequence[_T]:
    return things[bisect_left(things, first) : bisect_left(things, last)]
