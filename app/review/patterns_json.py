"""Test map, pairs, nights and patterns as plain JSON values: unrounded, in the person's unit."""

from __future__ import annotations

from typing import Any

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.review.night_stories import NightsFound
from app.review.night_words import nights_sentences, told_words
from app.review.one_night import Night
from app.review.pair_words import why_words
from app.review.pairs import MealNotPaired, MealPair, OfMeal, PairsFound
from app.review.pattern_words import (
    STEP_WORDS,
    at_once_words,
    before_words,
    left_out_words,
    questions_words,
    tell_words,
    what_words,
)
from app.review.patterns import Pattern, PatternsFound
from app.review.seen import Seen
from app.review.testmap import MapOfTests
from app.statistics.pairs import Rise


def map_as_json(found: MapOfTests) -> dict[str, Any]:
    """The counts of each slot from Monday to Sunday, and the blind spots."""
    return {
        "person": found.person.name,
        "period": period_as_json(found.period),
        "n": found.n,
        "days_with_readings": found.days_with_readings,
        "weekdays": list(found.weekdays),
        "slots": {
            row.slot.value: {
                "n": row.n,
                "by_weekday": list(row.counts),
                "blind_spot": row.is_blind,
                "never_on": list(row.never_on),
            }
            for row in found.rows
        },
        "other_marks": {mark.value: count for mark, count in found.others},
        "unmarked": found.unmarked,
        "left_out": found.left_out,
        "blind_spots": list(found.blind_spots),
    }


def pairs_as_json(found: PairsFound) -> dict[str, Any]:
    """The rises by meal, every pair, and every reading that makes none with its reason."""
    unit = found.unit
    return {
        "person": found.person.name,
        "unit": unit.value,
        "period": period_as_json(found.period),
        "meals": {each.meal: _of_meal(each) for each in found.by_meal},
        "pairs": [_pair(each, unit) for each in found.pairs],
        "not_paired": [_not_paired(each, unit) for each in found.not_paired],
    }


def _of_meal(found: OfMeal) -> dict[str, Any]:
    return {
        **_rise(found.rise),
        **({"missing": found.missing.why} if found.missing else {}),
        "one_hour": found.one_hour,
        "two_hours": found.two_hours,
        "no_start_written": found.no_start,
        "within_error": found.within_error,
        "in_doubt": found.in_doubt,
        "without_doubt": _rise(found.without_doubt),
        "not_paired": {why.value: count for why, count in found.not_paired.items()},
    }


def _rise(rise: Rise) -> dict[str, Any]:
    return {
        "n": rise.n,
        "median": rise.median,
        "lowest": rise.lowest,
        "highest": rise.highest,
        "mean": rise.mean,
    }


def _pair(pair: MealPair, unit: Unit) -> dict[str, Any]:
    return {
        "meal": pair.meal,
        "before": seen_as_json(pair.before, unit),
        "after": seen_as_json(pair.after, unit),
        "minutes": pair.minutes,
        "window": pair.window,
        "start_from": pair.start_from,
        "rise": pair.rise,
        "within_error": pair.within_error,
        "in_doubt": pair.in_doubt,
    }


def _not_paired(each: MealNotPaired, unit: Unit) -> dict[str, Any]:
    return {
        "meal": each.meal,
        "before": None if each.before is None else seen_as_json(each.before, unit),
        "after": None if each.after is None else seen_as_json(each.after, unit),
        "why": each.why.value,
        "minutes": each.minutes,
        "words": why_words(each),
    }


def nights_as_json(found: NightsFound) -> dict[str, Any]:
    """Every night, and their sum."""
    unit, high = found.unit, found.high_wakings
    return {
        "person": found.person.name,
        "unit": unit.value,
        "period": period_as_json(found.period),
        "nights": [_night(each, unit) for each in found.nights],
        "n": len(found.nights),
        "with_all_three": found.with_all,
        "with_night": found.with_night,
        "bedtime_to_waking": {
            **_rise(found.change),
            **({"missing": found.missing.why} if found.missing else {}),
            "within_error": found.within_error,
        },
        "night_to_waking": {
            **_rise(found.rise),
            **({"missing": found.rise_missing.why} if found.rise_missing else {}),
        },
        "told": {told.value: count for told, count in found.told.items()},
        "high_wakings": {
            "n": high.n,
            "bedtime_high": high.bedtime_high,
            "bedtime_not_high": high.bedtime_not_high,
            "no_bedtime": high.no_bedtime,
            "told": {told.value: count for told, count in high.told.items()},
        },
        "words": list(nights_sentences(found)),
    }


def _night(night: Night, unit: Unit) -> dict[str, Any]:
    def seen(one: Seen | None) -> dict[str, Any] | None:
        return None if one is None else seen_as_json(one, unit)

    return {
        "evening": night.evening.isoformat(),
        "bedtime": seen(night.bedtime),
        "night": [seen_as_json(each, unit) for each in night.between],
        "lowest": seen(night.lowest),
        "waking": seen(night.waking),
        "bedtime_to_waking": night.change,
        "within_error": night.within_error,
        "night_to_waking": night.rise,
        "night_to_waking_within_error": night.rise_within_error,
        "told": night.told.value,
        "words": told_words(night.told, unit),
    }


def patterns_as_json(found: PatternsFound) -> dict[str, Any]:
    """Every question with its answer and evidence, the strongest step first."""
    unit = found.unit
    return {
        "person": found.person.name,
        "unit": unit.value,
        "period": period_as_json(found.period),
        "n": found.n,
        "days_with_readings": found.days_with_readings,
        "unmarked": found.unmarked,
        "in_doubt_left_out": found.in_doubt,
        "on_days_apart_left_out": found.on_days_apart,
        "left_out": list(left_out_words(found)),
        "questions": {
            "put": found.questions,
            "asked": found.asked,
            "words": questions_words(found),
        },
        "at_once": [
            {
                "reading": seen_as_json(each.reading, unit) if each.reading else None,
                "help": each.help is not None,
                "set_aside": each.set_aside,
                "recheck": each.recheck,
                "words": at_once_words(each, unit),
            }
            for each in found.at_once
        ],
        "patterns": [_pattern(each, unit) for each in found.patterns],
    }


def _pattern(pattern: Pattern, unit: Unit) -> dict[str, Any]:
    seen, share = pattern.seen, pattern.share
    missing = pattern.share_missing
    return {
        "slot": pattern.slot.value,
        "direction": pattern.direction,
        "step": seen.step.value,
        "words": f"{STEP_WORDS[seen.step]}: {what_words(pattern, unit)}; {tell_words(pattern)}",
        "line": pattern.line.value,
        "by_goal": pattern.line.by_goal,
        "line_changed": pattern.line.changed,
        "count": seen.count,
        "n": seen.n,
        "at_least": seen.at_least,
        "lately": seen.lately,
        "more_tests": seen.more_tests,
        "more_in_a_row": seen.more_in_a_row,
        "share": {"missing": missing.why} if missing else share.share,
        "low": None if missing else share.low,
        "high": None if missing else share.high,
        "hits": [seen_as_json(each, unit) for each in pattern.hits],
        "before": {
            "hours": pattern.before.hours,
            "found": [
                {
                    "words": each.words,
                    "count": each.count,
                    "of": each.of,
                    "others": each.others,
                    "of_others": each.of_others,
                }
                for each in pattern.before.found
            ],
            "words": list(before_words(pattern)),
        },
    }


def seen_as_json(seen: Seen, unit: Unit) -> dict[str, Any]:
    """One reading: when, how much in the person's unit, as what, at which level."""
    return {
        "at": seen.wall.isoformat(timespec="minutes"),
        "value": seen.glucose.in_unit(unit),
        "bound": seen.glucose.bound.value,
        "mark": seen.mark.value,
        "level": seen.level.value,
        "in_doubt": seen.in_doubt,
    }


def period_as_json(period: Period) -> dict[str, Any]:
    """The first and last day of a period, and how many there are."""
    return {
        "first": period.first.isoformat(),
        "last": period.last.isoformat(),
        "days": period.days,
    }
