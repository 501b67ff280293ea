"""The lows of a period as plain JSON values: unrounded, in the person's unit."""

from __future__ import annotations

from datetime import date
from typing import Any

from app.domain.glucose import Bound, Glucose, Unit
from app.domain.reading import Doubt
from app.review.day_spells import SpellEnd
from app.review.low_spells import LowReading, ToldSpell
from app.review.lows import Counts, Lows
from app.statistics.around_lows import AFTER_LOW_SECONDS, KETONE_SECONDS


def lows_as_json(found: Lows) -> dict[str, Any]:
    """Everything about the lows of a period by name."""
    unit = found.unit
    return {
        "person": found.person.name,
        "unit": unit.value,
        "period": {
            "first": found.period.first.isoformat(),
            "last": found.period.last.isoformat(),
            "days": found.period.days,
        },
        "low_line": [
            {
                "from": date.fromordinal(line.from_day).isoformat() if line.from_day else None,
                "below": line.low.in_unit(unit),
                "why": line.why,
            }
            for line in found.lines
        ],
        **_counts(found.counts),
        "level_3": len(found.helps),
        "without_rechecks": _counts(found.without_rechecks),
        "in_doubt": found.in_doubt,
        "spell_count": len(found.spells),
        "rechecked": found.ended(SpellEnd.CLOSED),
        "not_rechecked": found.ended(SpellEnd.NO_RECHECK),
        "open": found.ended(SpellEnd.OPEN),
        "spells": [_spell(spell, unit) for spell in found.spells],
        "set_aside": [_reading(each, unit) for each in found.set_aside],
        "help": [
            {
                "at": each.help.at.wall,
                "what": each.help.what,
                "reading": _reading(each.reading, unit) if each.reading else None,
            }
            for each in found.helps
        ],
        "night": {
            "from": clock(found.night[0]),
            "to": clock(found.night[1]),
            "lows": found.night_lows,
            "spells": sum(spell.at_night for spell in found.spells),
            "nights": found.nights,
            "nights_tested": found.nights_tested,
        },
        "by_mark": {each.mark.value: {"n": each.n, "lows": each.lows} for each in found.by_mark},
        "highs_after": {
            "within_min": AFTER_LOW_SECONDS // 60,
            "spells_tested": sum(spell.tested_after for spell in found.spells),
            "found": [
                {
                    "low": _reading(each.low, unit),
                    "high": _reading(each.high, unit),
                    "minutes": each.minutes,
                }
                for each in found.highs_after
            ],
        },
        "very_highs": {
            "ketones_within_min": KETONE_SECONDS // 60,
            "found": [
                {
                    **_reading(each.reading, unit),
                    "ketones": each.ketones.shown if each.ketones else None,
                    "ketones_minutes": each.minutes,
                }
                for each in found.very_highs
            ],
        },
        "left_out": found.left_out,
    }


def clock(minute: int) -> str:
    """A minute of the local day: "05:00"."""
    return f"{minute // 60:02d}:{minute % 60:02d}"


def _counts(counts: Counts) -> dict[str, int]:
    return {
        "n": counts.n,
        "lows": counts.lows,
        "level_1": counts.level_1,
        "level_2": counts.level_2,
    }


def _spell(spell: ToldSpell, unit: Unit) -> dict[str, Any]:
    return {
        "at": spell.readings[0].wall.isoformat(timespec="minutes"),
        "lows": spell.lows,
        "ended": spell.ended.value,
        "back_min": spell.back_min,
        "next_min": spell.next_min,
        "at_night": spell.at_night,
        "in_doubt": spell.in_doubt,
        "helped": spell.helped,
        "readings": [
            {**_reading(each, unit), "minutes": each.minutes, "low": each.is_low}
            for each in spell.readings
        ],
    }


def _reading(each: LowReading, unit: Unit) -> dict[str, Any]:
    return {
        "at": each.wall.isoformat(timespec="minutes"),
        "value": _value(each.glucose, unit),
        "level": each.level.value,
        "mark": each.mark.value,
        "doubt": [reason.words for reason in Doubt if reason in each.doubt],
        "set_aside_day": each.set_aside_day,
    }


def _value(glucose: Glucose, unit: Unit) -> Any:
    number = glucose.in_unit(unit)
    return number if glucose.bound is Bound.EXACT else {glucose.bound.value: number}
