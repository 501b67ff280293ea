"""The five levels of a result, and the limits between them."""

from __future__ import annotations

import math
from enum import StrEnum

from app.domain.glucose import Bound, Glucose, LimitPair

# Levels of hypoglycaemia and hyperglycaemia: Agiostratidou et al., Diabetes Care 2017;40:1622-1630,
# and Battelino et al., Diabetes Care 2019;42:1593-1603 (tables read).
VERY_LOW_BELOW = LimitPair(54, 3.0)
LOW_BELOW = LimitPair(70, 3.9)
HIGH_ABOVE = LimitPair(180, 10.0)
VERY_HIGH_ABOVE = LimitPair(250, 13.9)


class Level(StrEnum):
    """A level; the order runs from far below to far above."""

    VERY_LOW = "very_low"
    LOW = "low"
    IN_RANGE = "in_range"
    HIGH = "high"
    VERY_HIGH = "very_high"

    @property
    def letter(self) -> str:
        """The letter beside a number; nothing for a result within."""
        return {"very_low": "LL", "low": "L", "high": "H", "very_high": "HH"}.get(self.value, "")


def level_of(glucose: Glucose) -> Level:
    """The level of a result, compared in the unit it was entered in.

    A result off the scale lies just beyond its limit; where the limit is not known, LO is very low
    and HI very high. Raises ValueError for a result without any value.
    """
    number, unit = ordered(glucose), glucose.unit
    if number < VERY_LOW_BELOW.in_unit(unit):
        return Level.VERY_LOW
    if number < LOW_BELOW.in_unit(unit):
        return Level.LOW
    if number <= HIGH_ABOVE.in_unit(unit):
        return Level.IN_RANGE
    return Level.HIGH if number <= VERY_HIGH_ABOVE.in_unit(unit) else Level.VERY_HIGH


def ordered(glucose: Glucose) -> float:
    """A number to order a result by, in the unit it was entered in; infinite without a limit."""
    if glucose.bound is Bound.BELOW:
        return -math.inf if glucose.number is None else math.nextafter(glucose.number, -math.inf)
    if glucose.bound is Bound.ABOVE:
        return math.inf if glucose.number is None else math.nextafter(glucose.number, math.inf)
    if glucose.number is None:
        raise ValueError("a result without a value has no level")
    return glucose.number
