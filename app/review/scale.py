"""The glucose axis of a chart: how far it reaches, and which numbers are written beside it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from app.domain.glucose import Unit, shown

# How far every chart reaches at least, so that two charts of quiet weeks look alike.
_BOTTOM = {Unit.MMOL_L: 1.2, Unit.MG_DL: 20.0}
_TOP = {Unit.MMOL_L: 13.0, Unit.MG_DL: 235.0}
_STEPS = {Unit.MMOL_L: (2.0, 5.0), Unit.MG_DL: (50.0, 100.0)}
_MOST_TICKS = 9
_HEADROOM = 0.05


@dataclass(frozen=True, slots=True)
class Tick:
    """A number beside the axis; a limit is bold and stands in place of round numbers near it."""

    value: float
    text: str
    is_limit: bool


@dataclass(frozen=True, slots=True)
class GlucoseScale:
    """The axis in the person's unit."""

    low: float
    high: float
    unit: Unit
    ticks: tuple[Tick, ...]


def glucose_scale(values: Iterable[float], limits: Iterable[float], unit: Unit) -> GlucoseScale:
    """An axis that shows every value and limit.

    Parameters
    ----------
    values : iterable of float
        What has to be seen, in the person's unit: at least the lowest and the highest.
    limits : iterable of float
        The limits of the goals: their numbers are written in bold.
    unit : Unit
        The person's.
    """
    bold = tuple(sorted(set(limits)))
    seen = [each for each in (*values, *bold) if math.isfinite(each) and each > 0]
    low = min([_BOTTOM[unit], *(each * (1 - 2 * _HEADROOM) for each in seen)])
    high = max([_TOP[unit], *(each * (1 + _HEADROOM) for each in seen)])
    step = next((each for each in _STEPS[unit] if high / each <= _MOST_TICKS), 2 * _STEPS[unit][-1])
    # A round number gives way where it would stand on a limit's.
    near = (high - low) / 24
    round_ones = [step * k for k in range(1, int(high / step) + 1) if step * k > low]
    plain = [each for each in round_ones if all(abs(each - limit) > near for limit in bold)]
    ticks = [Tick(each, _short(each, unit), False) for each in plain]
    ticks += [Tick(each, _short(each, unit), True) for each in bold]
    return GlucoseScale(low, high, unit, tuple(sorted(ticks, key=lambda tick: tick.value)))


def _short(value: float, unit: Unit) -> str:
    """Round numbers without decimals, limits as they are: "8", "7.2", "140"."""
    return f"{value:.0f}" if value == round(value) else shown(value, unit)
