"""One reading against its level and the goal of its mark, and the words for that."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from app.domain.glucose import Glucose, LimitPair, Unit, shown
from app.domain.levels import HIGH_ABOVE, LOW_BELOW, VERY_HIGH_ABOVE, Level, level_of, ordered
from app.domain.marks import Mark
from app.domain.targets import AFTER, ALL, BEFORE, Limit, TargetSet, limit_for

Side = Literal["below", "within", "above"]

_WHERE = {"waking": "on waking", BEFORE: "before a meal", AFTER: "after a meal"}


@dataclass(frozen=True, slots=True)
class Verdict:
    """The level of a result, and on which side of its goal it lies; None without a goal."""

    level: Level
    unit: Unit
    side: Side | None = None
    limit: Limit | None = None

    @property
    def words(self) -> str:
        """It in words: "within 4.0 – 10.0, before a meal", "below the low line, 3.9"."""
        return _words(self)


def verdict_of(
    glucose: Glucose, mark: Mark, after_min: int | None, targets: TargetSet | None
) -> Verdict:
    """Judge one result, in the unit it was entered in, by the goals in force (None: no goals).

    Raises
    ------
    ValueError
        If the result has no value at all.
    """
    level = level_of(glucose)
    limit = limit_for(targets, mark, after_min) if targets else None
    if limit is None:
        return Verdict(level, glucose.unit)
    return Verdict(level, glucose.unit, _side(ordered(glucose), limit, glucose.unit), limit)


def _side(number: float, limit: Limit, unit: Unit) -> Side:
    if limit.low is not None and number < limit.low.in_unit(unit):
        return "below"
    if limit.high is not None:
        high = limit.high.in_unit(unit)
        if number > high or (limit.high_open and number == high):
            return "above"
    return "within"


def _words(verdict: Verdict) -> str:
    level, unit, limit = verdict.level, verdict.unit, verdict.limit
    far = "far " if level in (Level.VERY_LOW, Level.VERY_HIGH) else ""
    if level in (Level.VERY_LOW, Level.LOW):
        # The low line is no goal: it is named whatever the goals say.
        return f"{far}below the low line, {_at(LOW_BELOW, unit)}"
    if limit is None:
        if level is Level.IN_RANGE:
            return f"between {_at(LOW_BELOW, unit)} and {_at(HIGH_ABOVE, unit)}, no target"
        above = VERY_HIGH_ABOVE if level is Level.VERY_HIGH else HIGH_ABOVE
        return f"above {_at(above, unit)}, no target"
    if verdict.side == "below" and limit.low is not None:
        return f"below the target, {_at(limit.low, unit)}{_where(limit)}"
    if verdict.side == "above" and limit.high is not None:
        return f"{far}above the target, {_at(limit.high, unit)}{_where(limit)}"
    return f"within {_range(limit, unit)}{_where(limit)}"


def _range(limit: Limit, unit: Unit) -> str:
    low = None if limit.low is None else _at(limit.low, unit)
    high = None if limit.high is None else _at(limit.high, unit)
    if low and high:
        return f"{low} – {high}"
    if high:
        return f"the target, {'under' if limit.high_open else 'up to'} {high}"
    return f"the target, from {low}"


def _where(limit: Limit) -> str:
    if limit.mark == ALL:
        return ""
    said = _WHERE.get(limit.mark, limit.mark.replace("_", " "))
    minutes = "" if limit.after_from is None else f" ({limit.after_from} to {limit.after_to} min)"
    return f", {said}{minutes}"


def _at(pair: LimitPair, unit: Unit) -> str:
    return shown(pair.in_unit(unit), unit)
