"""Whether a number makes sense as glucose, and what is asked where it may not: never an alteration.

The range 20 to 600 mg/dL (1.1 to 33.3 mmol/L) is what a typical home meter shows. Inside it a
number is taken at once, unless it was typed without a unit and with decimals by someone who reads
mg/dL, whose meter shows whole numbers.
"""

from __future__ import annotations

from app.domain.errors import Question
from app.domain.glucose import HIGHEST_MG_DL, Bound, Glucose, LimitPair, Unit, converted

LOWEST_SHOWN = LimitPair(20, 1.1)
HIGHEST_SHOWN = LimitPair(600, 33.3)
# Where a meter's own limits lie: a rule of this diary, wide enough for any home meter.
LOW_LIMITS = (LimitPair(10, 0.6), LimitPair(60, 3.3))
HIGH_LIMITS = (LimitPair(300, 16.7), LimitPair(1000, 55.5))


def is_shown_by_meters(number: float, unit: Unit, bound: Bound = Bound.EXACT) -> bool:
    """Whether a home meter shows such a number, or has such a limit."""
    low, high = {
        Bound.BELOW: LOW_LIMITS,
        Bound.ABOVE: HIGH_LIMITS,
    }.get(bound, (LOWEST_SHOWN, HIGHEST_SHOWN))
    return low.in_unit(unit) <= number <= high.in_unit(unit)


def fits(plain: str, bound: Bound, typed: Unit | None, usual: Unit) -> int:
    """How well a number fits as a reading: 2 in its unit, 1 in the other one only, 0 in none."""
    unit = typed or usual
    number = float(plain)
    if is_shown_by_meters(number, unit, bound) and not (
        typed is None and _looks_like_the_other(plain, unit, bound)
    ):
        return 2
    return int(typed is None and is_shown_by_meters(number, unit.other, bound))


def refusal(plain: str, typed: Unit | None, usual: Unit, *, sure: bool) -> str | None:
    """Why a number can't be glucose at all, in a sentence, or None."""
    number = float(plain)
    if number <= 0:
        return f"{plain} is not a glucose reading; it must be above zero."
    mg_dl = converted(number, typed or usual, Unit.MG_DL)
    other_is_possible = typed is None and converted(number, usual.other, Unit.MG_DL) < HIGHEST_MG_DL
    if mg_dl >= HIGHEST_MG_DL and (sure or not other_is_possible):
        return (
            f"{plain} {typed or usual} is far above any glucose reading; look at the number again."
        )
    return None


def odd_value(glucose: Glucose, typed: Unit | None) -> Question | None:
    """What to ask about an unlikely value; the answers are the words to type in its place."""
    if glucose.value is None or fits(glucose.value, glucose.bound, typed, glucose.unit) == 2:
        return None
    sign = {Bound.BELOW: "<", Bound.ABOVE: ">"}.get(glucose.bound, "")
    number, unit = float(glucose.value), glucose.unit
    value = sign + glucose.value
    answers = []
    if is_shown_by_meters(number, unit.other, glucose.bound):
        answers.append(f"{value} {unit.other}")
    slipped = _slip_of_the_point(glucose)
    if slipped:
        answers.append(slipped)
    asks = f"{value} {unit} is not what a meter in {unit} shows. What did the meter show?"
    if converted(number, unit, Unit.MG_DL) < HIGHEST_MG_DL:
        answers.append("--sure")
        asks = f"{asks} Say --sure to keep {value} {unit} as typed."
    return Question("value", asks, tuple(answers))


def _looks_like_the_other(plain: str, unit: Unit, bound: Bound) -> bool:
    return (
        unit is Unit.MG_DL and "." in plain and is_shown_by_meters(float(plain), Unit.MMOL_L, bound)
    )


def _slip_of_the_point(glucose: Glucose) -> str | None:
    """A whole number for mmol/L with its point forgotten: 56 for 5.6. Offered, never done."""
    value = glucose.value or ""
    if glucose.unit is not Unit.MMOL_L or glucose.bound is not Bound.EXACT or "." in value:
        return None
    with_point = f"{value[:-1]}.{value[-1]}" if len(value) > 1 else ""
    if with_point and is_shown_by_meters(float(with_point), Unit.MMOL_L):
        return f"{with_point} mmol/L"
    return None
