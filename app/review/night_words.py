"""Nights in words: what one shows, and what may be said of all of them."""

from __future__ import annotations

from collections.abc import Iterator

from app.domain.glucose import Unit, shown
from app.review.night_stories import NightsFound
from app.review.one_night import DAWN_RISE, Night, Told
from app.review.pair_words import WITHIN_ERROR, change_words

STAND_IN = "one finger-stick in the night only stands in for its lowest value"


def told_words(told: Told, unit: Unit) -> str:
    """What a night shows between its lowest value and waking, in a few words."""
    line = f"{shown(DAWN_RISE.in_unit(unit), unit)} {unit}"
    return {
        Told.NO_NIGHT: "not tested in the night: whether it rose towards morning is not known",
        Told.NO_WAKING: "no value on waking",
        Told.LOW_THEN_HIGH: "low in the night, high on waking: another story than a rise by itself",
        Told.LOW: "low in the night",
        Told.FOOD: "food noted between the night's value and waking",
        Told.RISE: f"rose by {line} or more from the night's lowest value to waking",
        Told.NO_RISE: f"rose by less than {line} from the night's lowest value, or fell",
        Told.OFF_SCALE: "off the meter's scale",
    }[told]


def night_words(night: Night, unit: Unit) -> str:
    """One night: "150 → 118 → 134, −16 mg/dL from bedtime to waking"."""
    parts = (night.bedtime, night.lowest, night.waking)
    values = " → ".join("–" if one is None else one.glucose.shown(unit) for one in parts)
    said = [f"{values} {unit}"]
    if night.change is not None:
        change = f"{change_words(night.change, unit)} from bedtime to waking"
        said.append(f"{change}, {WITHIN_ERROR}" if night.within_error else change)
    if night.rise is not None:
        rise = f"{change_words(night.rise, unit)} from the night to waking"
        said.append(f"{rise}, {WITHIN_ERROR}" if night.rise_within_error else rise)
    if night.told is not Told.NO_NIGHT:
        said.append(told_words(night.told, unit))
    return "; ".join(said)


def nights_sentences(found: NightsFound) -> Iterator[str]:
    """What all nights together show and what they cannot show, in whole sentences."""
    unit, n = found.unit, len(found.nights)
    if not n:
        yield "No night has a value at bedtime, in the night or on waking."
        return
    yield f"{found.with_all} of {n} nights have all three: bedtime, night and waking."
    change = found.change
    if change.lowest is not None and change.highest is not None and change.median is not None:
        ends = f"{change_words(change.lowest, unit)} to {change_words(change.highest, unit)} {unit}"
        said = f"Bedtime to waking, n {change.n}: from {ends}"
        if found.missing is None:
            said += f", median {change_words(change.median, unit)}"
        yield f"{said}; {found.within_error} of them {WITHIN_ERROR}."
    if not found.with_night:
        yield "No night was tested, so nothing can be said of a rise towards morning."
    else:
        rose, known = found.told.get(Told.RISE, 0), found.rise.n
        yield (
            f"{found.with_night} of {n} nights were tested in the night; {rose} of {known} with a "
            f"value on waking {told_words(Told.RISE, unit)}; {STAND_IN}."
        )
    lows = found.told.get(Told.LOW, 0) + found.told.get(Told.LOW_THEN_HIGH, 0)
    if lows:
        then = found.told.get(Told.LOW_THEN_HIGH, 0)
        yield f"{lows} of {found.with_night} tested nights were low; {then} of these woke high."
    high = found.high_wakings
    if high.n:
        known = high.n - high.told.get(Told.NO_NIGHT, 0)
        yield (
            f"{high.n} wakings were high: {high.bedtime_high} after a high bedtime, "
            f"{high.bedtime_not_high} after one that was not, {high.no_bedtime} with no bedtime "
            f"value; {known} of {high.n} have a value from the night."
        )
