"""Figures as plain JSON values: unrounded, in the person's unit, words where there is no number."""

from __future__ import annotations

from typing import Any

from app.review.figure import Figure, Mean, Missing, OffScale
from app.review.figures import Figures, OfMark, Without
from app.review.parts import Evened, Share
from app.review.rarer import Rarer


def figures_as_json(found: Figures, rarer: Rarer | None = None) -> dict[str, Any]:
    """Every figure by name, the rarer ones where they were worked out too, as `spread`.

    One below its minimum is ``{"missing": "why"}``.
    """
    quartiles, spread = found.quartiles, found.spread
    return {
        "person": found.person.name,
        "unit": found.unit.value,
        "period": {
            "first": found.period.first.isoformat(),
            "last": found.period.last.isoformat(),
            "days": found.period.days,
        },
        "n": found.n,
        "days_with_readings": found.days_with_readings,
        "mean": mean_as_json(found.mean),
        "median": figure_as_json(quartiles.median),
        "q1": figure_as_json(quartiles.q1),
        "q3": figure_as_json(quartiles.q3),
        "min": figure_as_json(quartiles.lowest),
        "max": figure_as_json(quartiles.highest),
        "sd": figure_as_json(spread.sd),
        "cv": figure_as_json(spread.cv),
        "within_day_cv": figure_as_json(spread.within_day_cv),
        "off_scale_left_out_of_spread": spread.off_scale_left_out,
        "mage": _mage(found),
        "evened": evened_as_json(found.evened),
        "trust": {"verdict": found.trust.verdict, "reasons": list(found.trust.reasons)},
        "shares": shares_as_json(found.shares),
        "judged": {
            each.mark.value: {
                "n": each.n,
                "below": each.below,
                "within": each.within,
                "above": each.above,
            }
            for each in found.judgement.marks
        },
        "goals": list(found.judgement.goals),
        "without_goal": found.judgement.without_goal,
        "by_mark": {each.mark.value: _of_mark(each) for each in found.by_mark},
        "unmarked": found.unmarked,
        "left_out": found.left_out,
        "doubt": {(reason.name or "").lower(): count for reason, count in found.doubt.items()},
        "without_doubt": _without(found.without_doubt),
        "without_rechecks": _without(found.without_rechecks),
        "without_set_aside_days": _without(found.without_set_aside_days),
        **({} if rarer is None else {"spread": rarer_as_json(rarer)}),
    }


def rarer_as_json(found: Rarer) -> dict[str, Any]:
    """The rarer figures by name; each has its minimum data, as the usual ones have."""
    return {
        "n": found.n,
        "within_day_cv": figure_as_json(found.within_day_cv),
        "iqr": figure_as_json(found.iqr),
        "modd": {
            **_value(found.modd.value),
            "pairs": found.modd.pairs,
            "off_scale_pairs": found.modd.off_scale_pairs,
        },
        "j_index": figure_as_json(found.j_index),
        "m_value": {
            **_value(found.m_value.value),
            "reference_mg_dl": found.m_value.reference_mg_dl,
            "with_range": found.m_value.with_range,
        },
        "grade": {
            **_value(found.grade.value),
            "from_low": found.grade.from_low,
            "from_within": found.grade.from_within,
            "from_high": found.grade.from_high,
        },
        "lbgi": figure_as_json(found.lbgi),
        "hbgi": figure_as_json(found.hbgi),
        "off_scale_left_out": found.off_scale_left_out,
    }


def _value(figure: Figure) -> dict[str, Any]:
    """A figure with company: `value`, or `missing` in its place."""
    return (
        {"missing": figure.why}
        if isinstance(figure, Missing)
        else {"value": figure_as_json(figure)}
    )


def figure_as_json(figure: Figure) -> Any:
    """A figure: a number, `{"above": limit}` or `below` off the scale, or `{"missing": why}`."""
    if isinstance(figure, Missing):
        return {"missing": figure.why}
    if isinstance(figure, OffScale):
        return {figure.side: figure.limit}
    return figure


def mean_as_json(mean: Mean | Missing) -> dict[str, Any]:
    """A mean with its interval or bound, and its n."""
    if isinstance(mean, Missing):
        return {"missing": mean.why}
    return {
        "value": mean.value,
        "low": mean.low,
        "high": mean.high,
        "bound": _bound(mean.at_least, mean.at_most),
        "n": mean.n,
    }


def evened_as_json(evened: Evened | Missing) -> dict[str, Any]:
    """An evened average with the slots that carry it."""
    if isinstance(evened, Missing):
        return {"missing": evened.why}
    return {
        "value": evened.value,
        "bound": _bound(evened.at_least, evened.at_most),
        "slots": len(evened.slots),
        "slot_marks": [mark.value for mark in evened.slots],
        "smallest_n": evened.smallest_n,
        "unmarked": evened.unmarked,
    }


def _bound(at_least: float | None, at_most: float | None) -> dict[str, float] | None:
    if at_least is not None:
        return {"at_least": at_least}
    return None if at_most is None else {"at_most": at_most}


def _mage(found: Figures) -> dict[str, Any]:
    value, days = found.excursions.value, found.excursions.days
    if isinstance(value, Missing):
        return {"missing": value.why, "days": days}
    return {"value": figure_as_json(value), "days": days}


def shares_as_json(shares: tuple[Share, ...]) -> dict[str, Any]:
    """The five levels: count, share, and the Wilson limits."""
    return {
        each.level.value: {
            "n": each.found.count,
            "share": {"missing": each.missing.why} if each.missing else each.found.share,
            "low": None if each.missing else each.found.low,
            "high": None if each.missing else each.found.high,
        }
        for each in shares
    }


def _of_mark(each: OfMark) -> dict[str, Any]:
    mean = mean_as_json(each.mean)
    return {
        "n": each.n,
        "mean": mean if mean.get("bound") or "missing" in mean else mean["value"],
        "sd": figure_as_json(each.sd),
        "median": figure_as_json(each.median),
    }


def _without(found: Without) -> dict[str, Any]:
    return {
        "n": found.n,
        "left_out": found.left_out,
        "days": found.days,
        "mean": mean_as_json(found.mean),
        "evened": evened_as_json(found.evened),
        "sd": figure_as_json(found.sd),
        "shares": shares_as_json(found.shares),
    }
