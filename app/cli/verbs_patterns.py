"""Verbs that look for what repeats and for what could hide it: patterns, test-map."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from app.cli.verbs_read import add_period, period_of
from app.cli.words import plural
from app.review.pattern_words import (
    STEP_WORDS,
    at_once_words,
    before_words,
    count_words,
    left_out_words,
    questions_words,
    sure_words,
    tell_words,
    what_words,
)
from app.review.patterns import DEFAULT_DAYS, Pattern, PatternsFound, patterns_of
from app.review.patterns_json import map_as_json, patterns_as_json
from app.review.record import record_of
from app.review.testmap import DEFAULT_DAYS as MAP_DAYS
from app.review.testmap import WEEKDAYS, MapOfTests, map_of_tests
from app.statistics.patterns import Step

if TYPE_CHECKING:
    import argparse

    from app.cli.surroundings import Asked
    from app.domain.clock import Period
    from app.domain.glucose import Unit
    from app.domain.person import Person

_IN_FULL = (Step.REPEATING, Step.SEEN_AGAIN)


def _words_of_map(parser: argparse.ArgumentParser) -> None:
    add_period(parser, MAP_DAYS)
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(verb=_map)


def _words_of_patterns(parser: argparse.ArgumentParser) -> None:
    add_period(parser, DEFAULT_DAYS)
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(verb=_patterns)


WORDS = {"test-map": _words_of_map, "patterns": _words_of_patterns}


def _patterns(asked: Asked) -> int:
    with asked.person(to_read=True) as (diary, person):
        record = record_of(diary, person)
        period = period_of(asked, record)
        found = patterns_of(diary, record, period, now=asked.around.now)
    put_out(asked, patterns_as_json(found), _pattern_lines(found))
    return 0


def _pattern_lines(found: PatternsFound) -> Iterator[str]:
    unit = found.unit
    yield f"{head_of(found.person, found.period)}, {unit}"
    said = [f"n {found.n} on {plural(found.days_with_readings, 'day')}", *left_out_words(found)]
    yield "; ".join(said)
    yield questions_words(found)
    if found.at_once:
        yield ""
        yield f"Listed first, without counting: {len(found.at_once)}"
    for each in found.at_once:
        yield f"  {at_once_words(each, unit)}"
    for step in _IN_FULL:
        for pattern in found.on_step(step):
            yield from _in_full(pattern, unit)
    yield ""
    for step in Step:
        rest = [] if step in _IN_FULL else found.on_step(step)
        if rest:
            yield f"{STEP_WORDS[step]}: " + " · ".join(_in_short(each) for each in rest)


def _in_full(pattern: Pattern, unit: Unit) -> Iterator[str]:
    yield ""
    where = f"{pattern.slot.words}, {what_words(pattern, unit)}"
    yield f"{STEP_WORDS[pattern.step]}: {where}: {count_words(pattern)}"
    yield f"  {sure_words(pattern)}; {tell_words(pattern)}"
    values = [f"{each.glucose.shown(unit)} on {each.wall.day} {each.wall:%b}"
              for each in pattern.hits]  # fmt: skip
    yield f"  {', '.join(values)}"
    for line in before_words(pattern):
        yield f"  in the {pattern.before.hours} h {line}"


def _in_short(pattern: Pattern) -> str:
    said = f"{pattern.slot.words} {pattern.direction}s {count_words(pattern)}"
    if pattern.step is Step.CANNOT_TELL:
        said += f", {pattern.seen.more_tests} more to tell"
    return said


def _map(asked: Asked) -> int:
    with asked.person(to_read=True) as (diary, person):
        record = record_of(diary, person)
        found = map_of_tests(record, period_of(asked, record), now=asked.around.now)
    put_out(asked, map_as_json(found), _map_lines(found))
    return 0


def _map_lines(found: MapOfTests) -> Iterator[str]:
    yield head_of(found.person, found.period)
    on = plural(found.days_with_readings, "day")
    yield f"{plural(found.n, 'test')} on {on}; {found.unmarked} without a mark, in no slot"
    for mark, count in found.others:
        yield f"{mark.words}: {count}, in no slot"
    yield ""
    yield f"{'Tests counted':<22}" + "".join(f"{day:>5}" for day in WEEKDAYS) + f"{'n':>6}"
    for row in found.rows:
        cells = "".join(f"{count:>5}" for count in row.counts)
        yield f"{row.slot.words:<22}{cells}{row.n:>6}"
    if found.blind_spots:
        yield ""
        yield "Blind spots"
    for sentence in found.blind_spots:
        yield f"  {sentence}"


def head_of(person: Person, period: Period) -> str:
    """Whose readings, and of which days."""
    return f"{person.name}, {period.first} to {period.last} ({plural(period.days, 'day')})"


def put_out(asked: Asked, found: Any, lines: Iterator[str]) -> None:
    """Say what was found as the words asked: as JSON or as lines."""
    if asked.options.json:
        asked.around.say_json(found)
        return
    for line in lines:
        asked.around.say(line)
