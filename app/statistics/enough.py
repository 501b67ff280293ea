"""How much data a figure needs before it is shown; all such numbers of the diary live here.

No published minimum for finger-stick figures was found but for the risk indices, so these are rules
of this diary. The statistics themselves ask only for the mathematical minimum.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from app.statistics.values import as_count

Counted = Literal["readings", "pairs", "days"]


@dataclass(frozen=True, slots=True)
class Minimum:
    """What a figure needs: so many of what is counted, and so many days.

    `a_day` is how many readings a day must have to be one of those days.
    """

    needed: int = 0
    counted: Counted = "readings"
    days_needed: int = 0
    a_day: int = 1


@dataclass(frozen=True, slots=True)
class Shortfall:
    """Why a figure is not shown: what it needs and what is there."""

    needed: int
    there: int
    counted: Counted
    days_needed: int
    days_there: int
    a_day: int


MEAN = Minimum(3)
MEDIAN = Minimum(3)
SPREAD = Minimum(14, days_needed=5)  # SD, CV, quartiles and what is built on them
SHARE = Minimum(14, days_needed=5)
# Days or nights that were tested, where each counts as one whatever was read on it.
TESTED_DAYS = Minimum(14, "days")
MEAN_INTERVAL = Minimum(days_needed=5)
WITHIN_DAY_CV = Minimum(days_needed=5, a_day=4)
# A seven-point profile is before and after three meals and at bedtime.
MAGE = Minimum(days_needed=3, a_day=7)
SPARSE_MAGE = Minimum(days_needed=3, a_day=4)
MODD = Minimum(5, "pairs")
RISE = Minimum(3, "pairs")
# The indices were built on 135 results a month: Kovatchev, Straume, Cox, Farhy (2000), J. Theor.
# Med. 3, 1-10 (title and pages from memory).
RISK = Minimum(60, days_needed=14)
CLOCK_WINDOW = Minimum(12, days_needed=7)
SLOT_BOX = Minimum(5)
# So many that each of ten last digits is expected five times, the usual rule for chi-square.
LAST_DIGITS = Minimum(50)
# Outside these the type-7 percentile rests on one or two readings.
TENTH_PERCENTILE = Minimum(20)
FIFTH_PERCENTILE = Minimum(40)


def shortfall(minimum: Minimum, *, there: int = 0, days: int = 0) -> Shortfall | None:
    """What is missing for a figure; None if there is enough.

    Parameters
    ----------
    minimum : Minimum
        One of the constants of this module.
    there : int
        How many there are of what the minimum counts.
    days : int
        How many days there are with at least ``minimum.a_day`` readings.

    Raises
    ------
    ValueError
        If a count is negative.

    Examples
    --------
    >>> shortfall(MEAN, there=2)
    Shortfall(needed=3, there=2, counted='readings', days_needed=0, days_there=0, a_day=1)
    >>> shortfall(SPREAD, there=14, days=5) is None
    True
    """
    there, days = as_count(there, "there"), as_count(days, "days")
    if there >= minimum.needed and days >= minimum.days_needed:
        return None
    return Shortfall(
        minimum.needed, there, minimum.counted, minimum.days_needed, days, minimum.a_day
    )
