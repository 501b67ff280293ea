"""Journeys in sentences and as JSON: what was written and what not, beside the person's rule."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

from app.domain.driving import DrivingRule
from app.domain.glucose import Bound, LimitPair
from app.review.follow_up import value_words
from app.review.journeys import Journey, Journeys, Tested
from app.review.sick_words import long_words

ONLY_WRITTEN = (
    "This lists what was written, nothing more: it never says that somebody is fit to drive."
)


def journey_lines(journey: Journey, rule: DrivingRule | None) -> Iterator[str]:
    """What was written before and during a journey, a sentence each."""
    yield _before(journey, rule)
    yield from _during(journey, rule)
    if journey.low is not None:
        yield _after_low(journey, journey.low, rule)


def rule_lines(rule: DrivingRule | None) -> tuple[str, ...]:
    """The rule in its own words, with its source and where to check it."""
    if rule is None:
        return ("No rule was chosen; choose one with --rule.", ONLY_WRITTEN)
    return (rule.name, *rule.says, f"Source: {rule.source}.", rule.check, ONLY_WRITTEN)


def journeys_as_json(found: Journeys) -> dict[str, Any]:
    """Journeys by name, with the sentences about each."""
    rule = found.rule
    return {
        "person": found.person.name,
        "unit": found.person.unit.value,
        "first": found.period.first.isoformat(),
        "last": found.period.last.isoformat(),
        "rule": None
        if rule is None
        else {
            "key": rule.key,
            "name": rule.name,
            "says": list(rule.says),
            "source": rule.source,
            "check": rule.check,
            "before_min": rule.before_min,
            "every_min": rule.every_min,
            "wait_min": rule.wait_min,
        },
        "journeys": [
            {
                "at": each.event.start.wall,
                "text": each.event.text,
                "minutes": None if each.end is None else (each.end - each.start) // 60,
                "before": _test(found, each.before),
                "during": [_test(found, test) for test in each.during],
                "longest_without_min": None
                if each.stretch is None
                else (each.stretch[1] - each.stretch[0]) // 60,
                "low_before": _test(found, each.low),
                "back_after_low": _test(found, each.back),
                "says": list(journey_lines(each, rule)),
            }
            for each in found.journeys
        ],
        "note": ONLY_WRITTEN,
    }


def _before(journey: Journey, rule: DrivingRule | None) -> str:
    asked = rule.before_min if rule else None
    test = journey.before
    if test is None:
        return "Before: no test written in the day before it."
    said = f"{long_words(-test.minutes)} before: {value_words(test.seen.glucose)}"
    beside = _beside(test, rule)
    if asked is not None and -test.minutes > asked:
        return f"Before: no test written in the {long_words(asked)} before it; {said}{beside}."
    return f"Before: tested {said}{beside}."


def _during(journey: Journey, rule: DrivingRule | None) -> Iterator[str]:
    if journey.end is None or journey.stretch is None:
        yield "During: no end was written, so tests on the way can't be told apart."
        return
    for test in journey.during:
        yield (
            f"During: {long_words(test.minutes)} after the start, "
            f"{value_words(test.seen.glucose)}{_beside(test, rule)}."
        )
    if not journey.during:
        yield "During: no test written."
    start, end = journey.stretch
    minutes = (end - start) // 60
    every = rule.every_min if rule else None
    if every is not None and minutes > every:
        walls = (_wall(journey, start), _wall(journey, end))
        yield (
            f"Longest part without a test: {long_words(minutes)}, {walls[0]} to {walls[1]}; the "
            f"rule says every {long_words(every)}."
        )


def _after_low(journey: Journey, low: Tested, rule: DrivingRule | None) -> str:
    said = f"A low {long_words(-low.minutes)} before the start ({value_words(low.seen.glucose)})"
    if journey.back is None:
        return f"{said}; no test after it was written before the start."
    wait = rule.wait_min if rule else None
    left = -journey.back.minutes
    back = f"{value_words(journey.back.seen.glucose)} {long_words(left)} before the start"
    asked = f"; the rule says to wait {long_words(wait)}" if wait and left < wait else ""
    return f"{said}; back at {back}{asked}."


def _beside(test: Tested, rule: DrivingRule | None) -> str:
    """How a result lies to the rule's limits, in the unit it was entered in."""
    number = test.seen.glucose.in_unit(test.seen.glucose.unit)
    if rule is None or number is None:
        return ""
    if test.seen.glucose.bound is Bound.BELOW or _is_under(number, rule.under, test):
        return ", under the rule's limit" if rule.under else ", below the meter's range"
    above = rule.above
    if above is None:
        return ""
    limit = above.in_unit(test.seen.glucose.unit)
    holds = number >= limit if rule.included else number > limit
    words = "at least" if rule.included else "above"
    shown = f"{limit:.{test.seen.glucose.unit.places}f} {test.seen.glucose.unit}"
    return "" if holds else f", not {words} the rule's {shown}"


def _is_under(number: float, under: LimitPair | None, test: Tested) -> bool:
    return under is not None and number < under.in_unit(test.seen.glucose.unit)


def _wall(journey: Journey, instant: int) -> str:
    start: datetime = journey.event.start.local
    return f"{start + timedelta(seconds=instant - journey.start):%H:%M}"


def _test(found: Journeys, test: Tested | None) -> dict[str, Any] | None:
    if test is None:
        return None
    glucose = test.seen.glucose
    number = glucose.in_unit(found.person.unit)
    return {
        "at": test.seen.wall.isoformat(timespec="minutes"),
        "minutes": test.minutes,
        "value": number if glucose.bound is Bound.EXACT else {glucose.bound.value: number},
    }
