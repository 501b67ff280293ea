"""The marks of each meal, and the readings before and after it, each side with its n.

The two sides are no pairs: those are in `app.review.pairs`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from app.domain.marks import MARKS, Mark
from app.review.counted import Counted
from app.review.figure import Figure, Mean, Missing
from app.review.parts import mean_of, quartiles_of, sd_of


class MealMarks(NamedTuple):
    """A kind of meal and the marks of the readings before and after it."""

    name: str
    before: tuple[Mark, ...]
    after: tuple[Mark, ...]


# A fasting value at another hour stands before no meal that is known.
MEALS = (
    MealMarks("breakfast", (Mark.WAKING,), (Mark.AFTER_BREAKFAST,)),
    MealMarks("lunch", (Mark.BEFORE_LUNCH,), (Mark.AFTER_LUNCH,)),
    MealMarks("evening meal", (Mark.BEFORE_EVENING_MEAL,), (Mark.AFTER_EVENING_MEAL,)),
    MealMarks("snack", (Mark.BEFORE_SNACK,), (Mark.AFTER_SNACK,)),
    MealMarks("meal", (Mark.BEFORE_MEAL,), (Mark.AFTER_MEAL,)),  # which one was not said
)
_NAMED = MEALS[:3]
_ALL_MEALS = MealMarks(
    "all meals",
    tuple(mark for meal in MEALS for mark in meal.before),
    tuple(mark for meal in MEALS for mark in meal.after),
)


@dataclass(frozen=True, slots=True)
class MealSide:
    """The readings on one side of a meal."""

    n: int
    mean: Mean | Missing
    sd: Figure
    median: Figure


@dataclass(frozen=True, slots=True)
class Meal:
    """A meal, or all of them: before it (waking counts for breakfast) and after it."""

    name: str
    before: MealSide
    after: MealSide


def around_meals(counted: Counted, *, minimum: bool = True) -> tuple[Meal, ...]:
    """The readings before and after each meal, by written mark, and at last those of all meals.

    A difference between the two sides is nobody's rise: they may come from different days.
    """
    return tuple(
        Meal(
            name,
            _side(counted, before, minimum=minimum),
            _side(counted, after, minimum=minimum),
        )
        for name, before, after in (*_NAMED, _ALL_MEALS)
    )


def _side(counted: Counted, marks: tuple[Mark, ...], *, minimum: bool) -> MealSide:
    part = counted.where(np.isin(counted.columns.mark, [MARKS.index(mark) for mark in marks]))
    return MealSide(
        n=part.n,
        mean=mean_of(part, minimum=minimum),
        sd=sd_of(part, minimum=minimum),
        median=quartiles_of(part, minimum=minimum).median,
    )
