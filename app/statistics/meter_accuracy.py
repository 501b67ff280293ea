"""Pairs of meter and reference results against printed accuracy limits, by whole numbers alone.

The limits: 15 mg/dL (0.83 mmol/L) below 100 mg/dL (5.55), 15 % from there on, for 95 % of the pairs
(ISO 15197:2013, tables 1 and 3 as printed in J Diabetes Sci Technol 2015;9:885-894, read); within
15 % for 95 % and 20 % for 99 % over the whole range (FDA guidance for home use, 2020, second-hand).
No error grid: the coordinates of those have not been compared with print.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from app.statistics.proportion import Proportion, share_of

PERCENT = 15
FDA_PERCENTS = (15, 20)
FEWEST_FOR_A_VERDICT = 100  # people in the standard's study of lay users
_NEEDED = Fraction(95, 100)


@dataclass(frozen=True, slots=True)
class Limits:
    """Below `split` a result may be `within` off, from there on 15 %; as printed in one unit."""

    split: Fraction
    within: Fraction


MG_DL = Limits(Fraction(100), Fraction(15))
MMOL_L = Limits(Fraction(555, 100), Fraction(83, 100))  # printed beside them, not converted


@dataclass(frozen=True, slots=True)
class PairHeld:
    """One pair: meter minus reference, the limit that holds for it, and whether it is inside.

    Numbers are exact, in one unit; `relative` is the difference over the reference.
    """

    reference: Fraction
    meter: Fraction
    difference: Fraction
    limit: Fraction
    within: bool
    relative: Fraction


@dataclass(frozen=True, slots=True)
class Accuracy:
    """How pairs stand; `verdict` None with fewer than the standard asks for.

    `mard` and `mrd` are the mean absolute and mean relative difference in %, None without pairs.
    """

    n: int
    within: Proportion
    fda: tuple[tuple[int, int], ...]  # percent, how many inside it
    mard: float | None
    mrd: float | None
    verdict: bool | None


def hold_pair(reference: Fraction | int, meter: Fraction | int, limits: Limits = MG_DL) -> PairHeld:
    """Hold one pair against the limit for its reference; both ends are inside.

    Raises
    ------
    ValueError
        If a result is not positive.

    Examples
    --------
    >>> hold_pair(60, 76).within, hold_pair(100, 115).within
    (False, True)
    """
    r, m = Fraction(reference), Fraction(meter)
    if r <= 0 or m <= 0:
        raise ValueError(f"a glucose result is positive: reference={reference}, meter={meter}")
    limit = limits.within if r < limits.split else r * PERCENT / 100
    off = m - r
    return PairHeld(r, m, off, limit, abs(off) <= limit, off / r)


def accuracy_of(
    pairs: Sequence[tuple[Fraction | int, Fraction | int]], limits: Limits = MG_DL
) -> Accuracy:
    """Hold pairs of (reference, meter) against the limits; nothing is rounded before.

    Examples
    --------
    >>> found = accuracy_of([(100, 115), (100, 116)])
    >>> found.within.count, found.n, found.verdict
    (1, 2, None)
    """
    held = [hold_pair(reference, meter, limits) for reference, meter in pairs]
    n, inside = len(held), sum(each.within for each in held)
    fda = tuple(
        (percent, sum(100 * abs(each.difference) <= percent * each.reference for each in held))
        for percent in FDA_PERCENTS
    )
    off = [each.relative for each in held]
    return Accuracy(
        n=n,
        within=share_of(inside, n),
        fda=fda,
        mard=float(100 * sum(map(abs, off), Fraction()) / n) if n else None,
        mrd=float(100 * sum(off, Fraction()) / n) if n else None,
        verdict=inside >= _NEEDED * n if n >= FEWEST_FOR_A_VERDICT else None,
    )
