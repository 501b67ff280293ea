"""Figures in words and digits as a person reads them: rounded once, each with its unit."""

from __future__ import annotations

from app.domain.glucose import Unit, shown
from app.domain.levels import HIGH_ABOVE, LOW_BELOW, VERY_HIGH_ABOVE, VERY_LOW_BELOW, Level
from app.domain.numerals import half_up
from app.review.figure import Figure, Mean, Missing, OffScale
from app.review.parts import Evened, Share
from app.statistics.off_scale import round_bound
from app.statistics.proportion import Proportion


def figure_words(figure: Figure, unit: Unit) -> str:
    """A glucose figure: "7.2", "<1.1", "HI", or why there is none."""
    if isinstance(figure, Missing):
        return f"not shown: {figure.why}"
    if isinstance(figure, OffScale):
        if figure.limit is None:
            return "LO" if figure.side == "below" else "HI"
        return ("<" if figure.side == "below" else ">") + shown(figure.limit, unit)
    return shown(figure, unit)


def mean_words(mean: Mean | Missing, unit: Unit) -> str:
    """A mean with its interval: "7.2 (95 %: about 6.9 to 7.6)", or its bound."""
    if isinstance(mean, Missing):
        return f"not shown: {mean.why}"
    value = _value_or_bound(mean.value, mean.at_least, mean.at_most, unit)
    if mean.low is None or mean.high is None:
        return value
    return f"{value} (95 %: about {shown(mean.low, unit)} to {shown(mean.high, unit)})"


def evened_words(evened: Evened | Missing, unit: Unit) -> str:
    """The evened average with how many slots carry it."""
    if isinstance(evened, Missing):
        return f"not shown: {evened.why}"
    value = _value_or_bound(evened.value, evened.at_least, evened.at_most, unit)
    return (
        f"{value} ({len(evened.slots)} of 7 slots, the thinnest n {evened.smallest_n}, "
        f"{evened.unmarked} unmarked outside it; night left out)"
    )


def share_words(share: Share) -> str:
    """A share of one level: "12 of 64 (19 %; 95 %: 11 to 30 %)", or its count alone."""
    return portion_words(share.found, shown=share.missing is None)


def portion_words(found: Proportion, *, shown: bool = True) -> str:
    """So many of so many, with its share and Wilson limits where they are to be `shown`.

    What is neither none nor all never reads as 0 or 100 %; none and all stay so, with the limit
    that is left: "0 of 64 (0 %; 95 %: up to 6 %)".
    """
    counted = f"{found.count} of {found.n}"
    if not shown or found.share is None or found.low is None or found.high is None:
        return counted
    low, high = percent_digits(found.low), percent_digits(found.high)
    if not found.count:
        limits = "under 1 %" if high == "<1" else f"up to {high} %"
    elif found.count == found.n:
        limits = "over 99 %" if low == ">99" else f"at least {low} %"
    else:
        limits = f"{low} to {high} %"
    return f"{counted} ({percent(found.share)}; 95 %: {limits})"


def percent(share: float) -> str:
    """A share in whole percent; what is neither none nor all never reads so."""
    found = percent_digits(share)
    return {"<1": "less than 1 %", ">99": "more than 99 %"}.get(found, f"{found} %")


def percent_digits(share: float) -> str:
    """A share in whole percent without its sign: "12", "<1", ">99"."""
    rounded = half_up(100 * share, 0)
    if rounded == 0 and share > 0:
        return "<1"
    return ">99" if rounded == 100 and share < 1 else str(rounded)


def level_words(level: Level, unit: Unit) -> str:
    """The range of a level: "3.0 – 3.8", "above 13.9"."""
    step = 1 if unit is Unit.MG_DL else 0.1

    def at(number: float) -> str:
        return shown(number, unit)

    very_low, low = VERY_LOW_BELOW.in_unit(unit), LOW_BELOW.in_unit(unit)
    high, very_high = HIGH_ABOVE.in_unit(unit), VERY_HIGH_ABOVE.in_unit(unit)
    return {
        Level.VERY_LOW: f"below {at(very_low)}",
        Level.LOW: f"{at(very_low)} – {at(low - step)}",
        Level.IN_RANGE: f"{at(low)} – {at(high)}",
        Level.HIGH: f"{at(high + step)} – {at(very_high)}",
        Level.VERY_HIGH: f"above {at(very_high)}",
    }[level]


def _value_or_bound(
    value: float | None, at_least: float | None, at_most: float | None, unit: Unit
) -> str:
    if value is not None:
        return shown(value, unit)
    if at_least is not None:
        return f"at least {round_bound(at_least, 'at_least', places=unit.places)}"
    if at_most is not None:
        return f"at most {round_bound(at_most, 'at_most', places=unit.places)}"
    raise ValueError("neither a value nor a bound")
