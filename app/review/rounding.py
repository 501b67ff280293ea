"""Whether values typed by hand look rounded: a hint for the person alone, on no page for others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.domain.glucose import Unit
from app.domain.person import Person
from app.review.figure import Missing, too_little
from app.statistics import enough
from app.statistics.digits import ROUND_SHARE, LastDigits, last_digits

HINT = "many values end in 0 or 5; rounding when writing down?"
# A hint is given only where so many are round (of 100) that few would call it chance: rules of
# this diary.
MANY_FROM_PERCENT, CHANCE_BELOW = 30, 0.001


@dataclass(frozen=True, slots=True)
class RoundingOf:
    """The last digits of the values typed in one unit.

    `finer` counts values with more decimals than a meter shows, which are left out · `expected`
    how many of the `n` would end in 0 or 5 if every digit were as likely · `hint` in neutral words,
    None where nothing stands out.
    """

    unit: Unit
    digits: LastDigits
    finer: int
    missing: Missing | None

    @property
    def n(self) -> int:
        """How many values were looked at."""
        return self.digits.n

    @property
    def expected(self) -> float:
        """How many would end in 0 or 5 by chance."""
        return self.n * ROUND_SHARE

    @property
    def hint(self) -> str | None:
        """The hint, where many end in 0 or 5; never from few values."""
        found = self.digits
        if self.missing is not None or found.p_round is None:
            return None
        many = 100 * found.round_count >= MANY_FROM_PERCENT * found.n
        return HINT if many and found.p_round < CHANCE_BELOW else None


@dataclass(frozen=True, slots=True)
class Rounding:
    """The typed values of a person, each unit for itself; empty where nothing was typed."""

    person: Person
    units: tuple[RoundingOf, ...]


def rounding_of(person: Person, typed: Sequence[tuple[str, Unit, int]]) -> Rounding:
    """Look at the last digits of typed values, in the unit they were typed in.

    Parameters
    ----------
    person : Person
        Whose they are.
    typed : sequence of (value, unit, count)
        Plain decimal text as the store gives it. Never converted values: their last digits are
        uneven by themselves.
    """
    found = []
    for unit in Unit:
        digits, finer = [0] * 10, 0
        for value, _, many in (each for each in typed if each[1] is unit):
            digit = _last_digit(value, unit)
            if digit is None:
                finer += many
            else:
                digits[digit] += many
        if finer or any(digits):
            counted = last_digits(np.repeat(np.arange(10), digits))
            short = too_little(enough.LAST_DIGITS, there=counted.n)
            found.append(RoundingOf(unit, counted, finer, short))
    return Rounding(person, tuple(found))


def _last_digit(value: str, unit: Unit) -> int | None:
    """The last digit that a meter would show: "5.6" is 6, "5" in mmol/L is 0; None if finer."""
    whole, _, part = value.partition(".")
    part = part.rstrip("0")
    if len(part) > unit.places:
        return None
    return int((whole + part.ljust(unit.places, "0"))[-1])
