"""What a figure can be: a number, a bound, off the scale, or the words for why there is none."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from app.statistics.enough import Minimum, Shortfall, shortfall
from app.statistics.off_scale import BoundedMean


@dataclass(frozen=True, slots=True)
class Missing:
    """Why there is no number, in plain words."""

    why: str


@dataclass(frozen=True, slots=True)
class OffScale:
    """A figure that falls on results off the meter's scale, with the limit where it is known."""

    side: Literal["below", "above"]
    limit: float | None


Figure = float | OffScale | Missing


@dataclass(frozen=True, slots=True)
class Mean:
    """A mean with its 95 % interval, or the bound that off-scale results leave of it.

    `value` is None where there is only a bound; `low` and `high` are None where the interval has
    too few days.
    """

    n: int
    value: float | None
    at_least: float | None = None
    at_most: float | None = None
    low: float | None = None
    high: float | None = None


def mean_figure(found: BoundedMean) -> Mean | Missing:
    """A mean as a figure; words where nothing is certain."""
    if found.kind == "none":
        return Missing(_NO_MEAN[found.why or "no_readings"])
    return Mean(
        n=found.n,
        value=found.value if found.kind == "exact" else None,
        at_least=found.value if found.kind == "at_least" else None,
        at_most=found.value if found.kind == "at_most" else None,
    )


def quantile_figure(number: float | None, low: float | None, high: float | None) -> Figure:
    """A quantile as a figure; `low` and `high` are the limits of results off the scale."""
    if number is None:
        return Missing("it would lie between a result under the meter's range and one over it")
    if math.isinf(number):
        return OffScale("below", low) if number < 0 else OffScale("above", high)
    return number


def too_little(minimum: Minimum, *, there: int = 0, days: int = 0) -> Missing | None:
    """What is missing for a figure, in words; None if there is enough."""
    short = shortfall(minimum, there=there, days=days)
    return None if short is None else Missing(_in_words(short))


def minimum_words(minimum: Minimum) -> str:
    """What a figure needs before it is shown: "14 readings on 5 days"."""
    return " on ".join(_needs(minimum))


def _in_words(short: Shortfall) -> str:
    has = []
    if short.needed:
        has.append(f"{short.there} {short.counted if short.there != 1 else short.counted[:-1]}")
    if short.days_needed:
        has.append(f"{short.days_there} {'day' if short.days_there == 1 else 'days'}")
    return f"needs {' on '.join(_needs(short))}; there {_are(short)} {' on '.join(has)}"


def _needs(what: Minimum | Shortfall) -> list[str]:
    needs = []
    if what.needed:
        needs.append(f"{what.needed} {what.counted}")
    if what.days_needed:
        at_least = f" with {what.a_day} readings or more" if what.a_day > 1 else ""
        needs.append(f"{what.days_needed} days{at_least}")
    return needs


def _are(short: Shortfall) -> str:
    first = short.there if short.needed else short.days_there
    return "is" if first == 1 else "are"


_NO_MEAN = {
    "no_readings": "there are no readings",
    "limit_unknown": "a result is off the meter's scale and its limit is not known",
    "below_and_above": "results lie both under and over the meter's range",
}
