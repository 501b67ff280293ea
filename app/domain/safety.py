"""The person's own low line: apart from every goal, hard to lower by accident."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from app.domain.errors import Refused
from app.domain.glucose import LimitPair, Unit, converted
from app.domain.levels import LOW_BELOW, VERY_LOW_BELOW
from app.domain.numerals import half_up, plain_number

# Pairs as guidelines print them; a line between them gets its other number by conversion.
_PRINTED = (
    LimitPair(54, 3.0),
    LimitPair(63, 3.5),
    LimitPair(70, 3.9),
    LimitPair(80, 4.4),
    LimitPair(95, 5.3),
)
# A rule of this diary: a line above it would call most readings low.
_HIGHEST = LimitPair(140, 7.8)


@dataclass(frozen=True, slots=True)
class SafetyLine:
    """Below `low` a reading is a low of this person, from a day on (a date ordinal).

    `why` is the reason that was typed for a line under the usual one.
    """

    from_day: int
    low: LimitPair
    why: str | None = None


USUAL = SafetyLine(0, LOW_BELOW)


def line_on(lines: Sequence[SafetyLine], day: int) -> SafetyLine:
    """The line in force on a day (a date ordinal); `lines` is sorted by the first day."""
    held = USUAL
    for line in lines:
        if line.from_day <= day:
            held = line
    return held


def cautious_low(line: SafetyLine) -> LimitPair:
    """Below which a caution is said: the higher of the usual line and the person's own."""
    return line.low if line.low.mg_dl > LOW_BELOW.mg_dl else LOW_BELOW


def checked_line(text: str, unit: Unit, *, from_day: int, why: str | None) -> SafetyLine:
    """A low line as it will be kept.

    Parameters
    ----------
    text : str
        The line in `unit` as typed: whole mg/dL, or mmol/L with at most one decimal.
    why : str or None
        The reason for a line under 70 mg/dL (3.9 mmol/L).

    Raises
    ------
    Refused
        It is no such number, lies under 54 mg/dL (3.0 mmol/L), has no reason where one is needed,
        or lies too high. Nothing was changed.
    """
    plain = plain_number(text)
    if plain is None or half_up(float(plain), unit.places) != Decimal(plain):
        example = "72" if unit is Unit.MG_DL else "4.0"
        raise Refused(
            f'"{text.strip()}" is no line in {unit}. Nothing was changed; write it as {example}.'
        )
    number = float(plain)
    low = _pair(number, unit)
    floor, usual, highest = (
        f"{pair.in_unit(unit):.{unit.places}f} {unit}"
        for pair in (VERY_LOW_BELOW, LOW_BELOW, _HIGHEST)
    )
    if number < VERY_LOW_BELOW.in_unit(unit):
        raise Refused(f"The low line is never under {floor}. Nothing was changed.")
    if number > _HIGHEST.in_unit(unit):
        raise Refused(f"The low line is never above {highest}. Nothing was changed.")
    reason = " ".join((why or "").split()) or None
    if number < LOW_BELOW.in_unit(unit) and reason is None:
        raise Refused(
            f"A low line under {usual} needs the reason in your own words. Nothing was changed; "
            "say it with --why."
        )
    return SafetyLine(from_day, low, reason)


def _pair(number: float, unit: Unit) -> LimitPair:
    for pair in _PRINTED:
        if pair.in_unit(unit) == number:
            return pair
    other = float(half_up(converted(number, unit, unit.other), unit.other.places))
    return LimitPair(number, other) if unit is Unit.MG_DL else LimitPair(other, number)
