"""A glucose result as the meter showed it, its two units, and limits as pairs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from app.domain.numerals import half_up

# 1 mmol of D-glucose weighs 180.156 mg (C 12.011, H 1.008, O 15.999: IUPAC abridged
# standard atomic weights); a decilitre is a tenth of a litre.
MG_DL_PER_MMOL_L = 18.0156

HIGHEST_MG_DL = 3000.0  # at and above this it is no glucose result; the table's CHECK says so too


class Unit(StrEnum):
    """The two units of glucose, by their UCUM codes."""

    MG_DL = "mg/dL"
    MMOL_L = "mmol/L"

    @property
    def other(self) -> Unit:
        """The unit that this one is not."""
        return Unit.MMOL_L if self is Unit.MG_DL else Unit.MG_DL

    @property
    def places(self) -> int:
        """Decimals on display: whole mg/dL, tenths of mmol/L."""
        return 0 if self is Unit.MG_DL else 1


class Bound(StrEnum):
    """Whether the meter gave a number, or only said on which side of its range the result lies."""

    EXACT = "exact"
    BELOW = "below"
    ABOVE = "above"
    NO_VALUE = "no_value"


@dataclass(frozen=True, slots=True)
class Glucose:
    """A result as entered: plain decimal text and unit, for ever.

    For `Bound.BELOW` and `Bound.ABOVE` the value is the meter's limit, or None where it is unknown.
    """

    value: str | None
    unit: Unit
    bound: Bound = Bound.EXACT

    @property
    def number(self) -> float | None:
        """The number in the unit it was entered in; of a bound, its limit."""
        return None if self.value is None else float(self.value)

    @property
    def mg_dl(self) -> float | None:
        """The number in mg/dL; of a bound, its limit."""
        return self.in_unit(Unit.MG_DL)

    def in_unit(self, unit: Unit) -> float | None:
        """The number in `unit`, converted only where that is not the unit it was entered in."""
        return None if self.number is None else converted(self.number, self.unit, unit)

    def shown(self, unit: Unit) -> str:
        """The number as a person reads it, without its unit: "5.6", "<20", "HI"."""
        number = self.in_unit(unit)
        sign = {Bound.BELOW: "<", Bound.ABOVE: ">"}.get(self.bound, "")
        if number is not None:
            return sign + shown(number, unit)
        return {Bound.BELOW: "LO", Bound.ABOVE: "HI"}.get(self.bound, "no value")


@dataclass(frozen=True, slots=True)
class LimitPair:
    """One limit as guidelines print it: a number for each unit, neither worked from the other."""

    mg_dl: float
    mmol_l: float

    def in_unit(self, unit: Unit) -> float:
        """The number of the pair that belongs to `unit`."""
        return self.mg_dl if unit is Unit.MG_DL else self.mmol_l


def converted(number: float, unit: Unit, to: Unit) -> float:
    """Convert a number of glucose; the same number where the unit is the same."""
    if unit is to:
        return number
    return number * MG_DL_PER_MMOL_L if to is Unit.MG_DL else number / MG_DL_PER_MMOL_L


def shown(number: float, unit: Unit) -> str:
    """Round once, half up, for display: whole mg/dL, tenths of mmol/L.

    >>> shown(70 / 18.0156, Unit.MMOL_L), shown(118 / 18.0156, Unit.MMOL_L)
    ('3.9', '6.5')
    """
    if not math.isfinite(number):
        raise ValueError(f"only a finite number can be shown: number={number}")
    return str(half_up(number, unit.places))
