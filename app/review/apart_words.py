"""Differences in plain words: how much, how sure, and what can't be told; never why."""

from __future__ import annotations

from app.domain.glucose import Unit, shown
from app.review.apart import Apart
from app.review.figure import Missing
from app.review.periods import Portion
from app.review.two_sides import TwoSides
from app.review.words import percent, percent_digits
from app.statistics.off_scale import round_bound

MINUS = "\N{MINUS SIGN}"


def signed(value: float, unit: Unit) -> str:
    """A difference with its sign: "−1.8", "+0.4", "0.0"."""
    text = shown(abs(value), unit)
    if not float(text):
        return text
    return f"{MINUS if value < 0 else '+'}{text}"


def apart_words(found: Apart | Missing, unit: Unit) -> str:
    """A difference with its interval: "−1.8 mmol/L (95 %: about −2.7 to −0.8)"."""
    if isinstance(found, Missing):
        return f"not shown: {found.why}"
    if found.value is None:
        return f"{_bound(found, unit)} {unit}"
    value = f"{signed(found.value, unit)} {unit}"
    if found.low is None or found.high is None:
        return f"{value} (how sure is not shown: {found.why.why})" if found.why else value
    return f"{value} (95 %: about {signed(found.low, unit)} to {signed(found.high, unit)})"


def over_days_words(found: Apart | Missing, unit: Unit) -> str | None:
    """The check by whole days in words; None where there is none."""
    if isinstance(found, Missing) or found.days_low is None or found.days_high is None:
        return None
    low, high = signed(found.days_low, unit), signed(found.days_high, unit)
    return f"Drawing whole days anew gives about {low} to {high} {unit}."


def verdict_words(found: Apart | Missing, second: str) -> str:
    """What the difference allows to say, in one sentence."""
    if isinstance(found, Missing) or found.verdict == "too_few":
        return "Can't tell yet: too few readings on the same slots."
    if found.verdict == "cannot_tell":
        return "Can't tell yet from these readings: it could as well be no difference."
    return f"On the same slots, the average is {found.verdict} {second}; this does not say why."


def reversed_words(found: TwoSides, unit: Unit) -> str | None:
    """Why the plain averages go the other way; None where they do not."""
    if not found.mix_reverses or isinstance(found.plain, Missing) or found.plain.value is None:
        return None
    return (
        f"The plain averages go the other way ({signed(found.plain.value, unit)} {unit}), "
        "since the slots are not tested alike on both sides; see each slot by itself."
    )


def portion_words(found: Portion) -> str:
    """A share with its Wilson limits: "15 of 40, 38 % (24 – 53 %)"; or the bare count."""
    share = found.found
    counted = f"{share.count} of {share.n}"
    if found.missing or share.share is None or share.low is None or share.high is None:
        return counted
    return f"{counted}, {percent(share.share)} ({range_words(found)})"


def range_words(found: Portion) -> str:
    """The limits of a share alone: "24 – 53 %"."""
    low, high = found.found.low, found.found.high
    if low is None or high is None:
        return "no range"
    return f"{percent_digits(low)} – {percent_digits(high)} %"


def _bound(found: Apart, unit: Unit) -> str:
    """A bound of a difference, rounded towards what is certain."""
    least = found.at_least is not None
    value = found.at_least if found.at_least is not None else found.at_most
    if value is None:
        raise ValueError("neither a value nor a bound")
    digits = str(round_bound(value, "at_least" if least else "at_most", places=unit.places))
    return f"at {'least' if least else 'most'} {digits.replace('-', MINUS)}"
