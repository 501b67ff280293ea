"""Two sides as plain JSON values: unrounded, in the person's unit, words where no number is."""

from __future__ import annotations

from typing import Any

from app.domain.clock import Period
from app.review.apart import Apart
from app.review.figure import Mean, Missing
from app.review.periods import Portion
from app.review.two_sides import InSlot, OfSide, SlotRow, TwoSides


def two_sides_as_json(found: TwoSides) -> dict[str, Any]:
    """Both sides, the rows of slots, the evened and the plain difference."""
    return {
        "sides": [_side(found.first), _side(found.second)],
        "slots": [mark.value for mark in found.slots],
        "evened": apart_as_json(found.evened),
        "plain": apart_as_json(found.plain),
        "mix_reverses": found.mix_reverses,
        "rows": [_row(row) for row in found.rows],
    }


def apart_as_json(found: Apart | Missing) -> dict[str, Any]:
    """A difference: second less first, its limits, and what can be said."""
    if isinstance(found, Missing):
        return {"missing": found.why}
    bound = None
    if found.at_least is not None:
        bound = {"at_least": found.at_least}
    elif found.at_most is not None:
        bound = {"at_most": found.at_most}
    return {
        "first": found.first,
        "second": found.second,
        "value": found.value,
        "bound": bound,
        "low": found.low,
        "high": found.high,
        "over_days": None if found.days_low is None else [found.days_low, found.days_high],
        "verdict": found.verdict,
        "why": found.why.why if found.why else None,
    }


def portion_as_json(found: Portion) -> dict[str, Any]:
    """A count with its share and Wilson limits, or why no share is shown."""
    share = found.found
    missing = found.missing
    return {
        "n": share.count,
        "of": share.n,
        "share": {"missing": missing.why} if missing else share.share,
        "low": None if missing else share.low,
        "high": None if missing else share.high,
    }


def mean_as_json(mean: Mean | Missing) -> dict[str, Any]:
    """A mean with its interval or bound, or why there is none."""
    if isinstance(mean, Missing):
        return {"missing": mean.why}
    bound = None
    if mean.at_least is not None:
        bound = {"at_least": mean.at_least}
    elif mean.at_most is not None:
        bound = {"at_most": mean.at_most}
    return {"value": mean.value, "low": mean.low, "high": mean.high, "bound": bound, "n": mean.n}


def period_as_json(period: Period) -> dict[str, Any]:
    """First and last day, and how many."""
    first, last = period.first.isoformat(), period.last.isoformat()
    return {"first": first, "last": last, "days": period.days}


def _side(side: OfSide) -> dict[str, Any]:
    return {
        "name": side.name,
        "n": side.n,
        "days": side.days,
        "days_in_all": side.days_in_all,
        "nights_tested": side.nights_tested,
        "mean": mean_as_json(side.mean),
        "lows": portion_as_json(side.lows),
        "lows_without_rechecks": portion_as_json(side.first_lows),
        "rechecks": side.rechecks,
        "highs": portion_as_json(side.highs),
        "unmarked": side.unmarked,
        "in_doubt": side.in_doubt,
    }


def _row(row: SlotRow) -> dict[str, Any]:
    return {
        "mark": row.mark.value,
        "evened": row.evened,
        "difference": apart_as_json(row.apart),
        "sides": [_in_slot(row.first), _in_slot(row.second)],
    }


def _in_slot(part: InSlot) -> dict[str, Any]:
    return {
        "n": part.n,
        "days": part.days,
        "mean": mean_as_json(part.mean),
        "lows": portion_as_json(part.lows),
        "highs": portion_as_json(part.highs),
    }
