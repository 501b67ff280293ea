"""Meal pairs in words: a rise, and why readings make no pair."""

from __future__ import annotations

from app.domain.glucose import Unit
from app.domain.numerals import half_up
from app.review.pairs import MealNotPaired, MealPair, OfMeal
from app.statistics.pair_rules import Why

# A sum of reasons, each in a few words.
REASONS = {
    Why.NO_AFTER: "no reading after the meal",
    Why.NO_BEFORE: "no reading before the meal",
    Why.LATER_BEFORE: "another reading before the same meal was taken later",
    Why.OFF_SCALE: "off the meter's scale",
    Why.BEFORE_IS_LATE: "the first reading came after the meal began",
    Why.BEFORE_TOO_EARLY: "the first reading came long before the meal",
    Why.FOOD_BEFORE: "food noted in the two hours before",
    Why.OUTSIDE: "the second reading lies outside both windows after the meal",
    Why.FOOD: "food noted between",
    Why.DOSE: "a dose noted between",
    Why.EXERCISE: "exercise noted between",
    Why.MEAL_HAS_PAIR: "the meal has its pair already",
}
NO_START = "no start of the meal is written, so the time of the reading before stands for it"
WITHIN_ERROR = "within the permitted error of meters"


def change_words(change: float, unit: Unit) -> str:
    """A change of glucose with its sign: "+4.7", "−1.2", "0.0".

    >>> change_words(4.7, Unit.MMOL_L), change_words(-12.4, Unit.MG_DL)
    ('+4.7', '−12')
    """
    digits = str(half_up(abs(change), unit.places))
    if not float(digits):
        return digits
    return ("+" if change > 0 else "−") + digits


def rise_words(of_meal: OfMeal, unit: Unit) -> str:
    """The rises of a meal in one line: "median +4.7, from +1.4 to +6.5, mean +4.0 mmol/L"."""
    rise = of_meal.rise
    if rise.lowest is None or rise.highest is None or rise.median is None or rise.mean is None:
        return "no pairs"
    ends = f"{change_words(rise.lowest, unit)} to {change_words(rise.highest, unit)} {unit}"
    if of_meal.missing:
        return f"{ends}; median and mean not shown: {of_meal.missing.why}"
    middle, mean = change_words(rise.median, unit), change_words(rise.mean, unit)
    return f"median {middle}, mean {mean}, from {ends}"


def pair_words(pair: MealPair, unit: Unit) -> str:
    """One pair: "6.2 → 10.9, +4.7 mmol/L, 120 min after the meal began"."""
    values = f"{pair.before.glucose.shown(unit)} → {pair.after.glucose.shown(unit)}"
    from_ = "the reading before" if pair.start_from == "before_reading" else "the meal began"
    said = f"{values}, {change_words(pair.rise, unit)} {unit}, {pair.minutes} min after {from_}"
    if pair.within_error:
        said += f"; {WITHIN_ERROR}"
    return said + ("; in doubt" if pair.in_doubt else "")


def why_words(each: MealNotPaired) -> str:
    """Why readings make no pair, with the minutes: "food noted between, 60 min after its start"."""
    reason, minutes = REASONS[each.why], each.minutes
    if each.why is Why.NO_AFTER:
        after = "no value came later" if minutes is None else f"the next came {minutes} min later"
        return f"{reason}; {after}"
    if minutes is None:
        return reason
    if each.why is Why.BEFORE_TOO_EARLY:
        return f"the first reading came {minutes} min before the meal began"
    if each.why is Why.BEFORE_IS_LATE:
        return f"the first reading came {minutes} min after the meal began"
    if each.why is Why.OUTSIDE:
        return f"{minutes} min after the meal began: outside 45 to 75 and 90 to 150 min"
    if each.why is Why.MEAL_HAS_PAIR:
        return f"{reason}; this reading came {minutes} min after it began"
    when = "at" if not minutes else f"{abs(minutes)} min {'before' if minutes < 0 else 'after'}"
    return f"{reason}, {when} its start"


def values_words(each: MealNotPaired, unit: Unit) -> str:
    """The values that make no pair: "9.0 → 13.0", "7.4 → –"."""
    before, after = ("–" if one is None else one.glucose.shown(unit)
                     for one in (each.before, each.after))  # fmt: skip
    return f"{before} → {after}"
