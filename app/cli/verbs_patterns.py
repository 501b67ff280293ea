"""Verbs that look for what repeats and for what could hide it: test-map."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from app.cli.verbs_read import add_period, period_of
from app.cli.words import plural
from app.review.patterns_json import map_as_json
from app.review.record import record_of
from app.review.testmap import DEFAULT_DAYS, WEEKDAYS, MapOfTests, map_of_tests

if TYPE_CHECKING:
    import argparse

    from app.cli.surroundings import Asked
    from app.domain.clock import Period
    from app.domain.person import Person


def _words_of_map(parser: argparse.ArgumentParser) -> None:
    add_period(parser, DEFAULT_DAYS)
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(verb=_map)


WORDS = {"test-map": _words_of_map}


def _map(asked: Asked) -> int:
    with asked.person(to_read=True) as (diary, person):
        record = record_of(diary, person)
        found = map_of_tests(record, period_of(asked, record), now=asked.around.now)
    _put_out(asked, map_as_json(found), _map_lines(found))
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


def _put_out(asked: Asked, found: Any, lines: Iterator[str]) -> None:
    if asked.options.json:
        asked.around.say_json(found)
        return
    for line in lines:
        asked.around.say(line)
