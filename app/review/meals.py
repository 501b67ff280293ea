"""Readings before and after each meal, each side with its n; they are not pairs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.domain.marks import MARKS, Mark
from app.review.counted import Counted
from app.review.figure import Figure, Mean, Missing
from app.review.parts import mean_of, quartiles_of, sd_of

# A fasting value at another hour stands before no meal that is known.
_MEALS: tuple[tuple[str, tuple[Mark, ...], tuple[Mark, ...]], ...] = (
    ("breakfast", (Mark.WAKING,), (Mark.AFTER_BREAKFAST,)),
    ("lunch", (Mark.BEFORE_LUNCH,), (Mark.AFTER_LUNCH,)),
    ("evening meal", (Mark.BEFORE_EVENING_MEAL,), (Mark.AFTER_EVENING_MEAL,)),
)
_ALL_MEALS = (
    "all meals",
    tuple(m for m in MARKS if m.is_before_meal and m is not Mark.FASTING),
    tuple(m for m in MARKS if m.is_after_meal),
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
        for name, before, after in (*_MEALS, _ALL_MEALS)
    )


def _side(counted: Counted, marks: tuple[Mark, ...], *, minimum: bool) -> MealSide:
    part = counted.where(np.isin(counted.columns.mark, [MARKS.index(mark) for mark in marks]))
    return MealSide(
        n=part.n,
        mean=mean_of(part, minimum=minimum),
        sd=sd_of(part, minimum=minimum),
        median=quartiles_of(part, minimum=minimum).median,
    )
