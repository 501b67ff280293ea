"""Verbs about sick days and journeys: sick, journeys."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from app.cli.verbs_read import add_period, period_of
from app.cli.words import a_day, one_line, plural, when
from app.domain.cautions import caution_texts
from app.domain.driving import driving_rules
from app.domain.errors import Refused
from app.domain.follow_ups import SICK_GLUCOSE, SICK_KETONES, follow_rule
from app.review.figure import Missing
from app.review.journey_words import journey_lines, journeys_as_json, rule_lines
from app.review.journeys import journeys_of
from app.review.record import record_of
from app.review.sick_day import Checks, SickDay, sick_day_of
from app.review.sick_words import (
    fortnight_words,
    gap_words,
    long_words,
    peak_words,
    read_aloud,
    sick_as_json,
    since_words,
)
from app.review.words import mean_words
from app.store.follow_ups import follow_rules_of
from app.work.driving import set_driving_rule
from app.work.follow_ups import set_follow_rule
from app.work.note_down import Noted, moment_typed
from app.work.sick import start_sick, stop_sick

if TYPE_CHECKING:
    from datetime import datetime

    from app.cli.surroundings import Asked
    from app.domain.person import Person
    from app.store.diary import Diary

_SIX_MONTHS = 180


def _sick_words(parser: argparse.ArgumentParser) -> None:
    acts = parser.add_subparsers(title="what", metavar="start|stop|show", required=True)
    start = _timed(acts.add_parser("start", help="sick days begin; no planned test is expected"))
    start.add_argument("text", nargs="*", help="words of your own")
    start.add_argument(
        "--glucose-every", type=int, metavar="MIN", help="as your plan says; reminds"
    )
    start.add_argument(
        "--ketones-every", type=int, metavar="MIN", help="as your plan says; reminds"
    )
    start.add_argument("--counted", action="store_true", help="keep these days in all averages")
    start.set_defaults(verb=_start)
    _timed(acts.add_parser("stop", help="sick days end")).set_defaults(verb=_stop)
    show = acts.add_parser("show", help="glucose and ketones, gaps, your plan, to be read aloud")
    show.add_argument("--on", type=a_day, metavar="DAY", help="a day of them (default the last)")
    show.add_argument("--json", action="store_true")
    show.set_defaults(verb=_show)


def _journey_words(parser: argparse.ArgumentParser) -> None:
    add_period(parser, _SIX_MONTHS)
    parser.add_argument("--rule", metavar="KEY", help="hold journeys against it from now on")
    parser.add_argument("--rules", action="store_true", help="which rules there are")
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(verb=_journeys)


WORDS = {"sick": _sick_words, "journeys": _journey_words}


def _timed(parser: argparse.ArgumentParser) -> argparse.ArgumentParser:
    parser.add_argument("--at", metavar="WALL", help="when, if not now: 2026-03-12 22:00")
    parser.add_argument("--zone", help="the zone of the place, if not the person's own")
    parser.add_argument("--sure", action="store_true", help="keep an odd time as typed")
    parser.add_argument("--json", action="store_true")
    return parser


def _start(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.person() as (diary, person):
        at = moment_typed(options.at, person, now=now, zone=options.zone, sure=options.sure)
        noted = start_sick(
            diary,
            person,
            at,
            now=now,
            text=" ".join(options.text),
            set_aside=not options.counted,
        )
        _every(diary, person, SICK_GLUCOSE, options.glucose_every, now)
        _every(diary, person, SICK_KETONES, options.ketones_every, now)
    return _say(asked, person, noted)


def _every(diary: Diary, person: Person, kind: str, minutes: int | None, now: datetime) -> None:
    """Whoever says how often wants to be reminded so often."""
    held = follow_rule(follow_rules_of(diary, person), kind)
    if minutes is not None and (60 * minutes != held.seconds or not held.on):
        set_follow_rule(diary, person, kind, now=now, on=True, minutes=minutes)


def _stop(asked: Asked) -> int:
    options, now = asked.options, asked.around.now
    with asked.person() as (diary, person):
        at = moment_typed(options.at, person, now=now, zone=options.zone, sure=options.sure)
        noted = stop_sick(diary, person, at, now=now)
    return _say(asked, person, noted)


def _show(asked: Asked) -> int:
    options = asked.options
    with asked.person(to_read=True) as (diary, person):
        found = sick_day_of(diary, record_of(diary, person), now=asked.around.now, day=options.on)
    if found is None:
        on = f" on {options.on}" if options.on else ""
        raise Refused(f"No sick days of {person.name} are written down{on}; say: sick start.")
    if options.json:
        asked.around.say_json(sick_as_json(found))
        return 0
    for line in _lines(found):
        asked.around.say(one_line(line))
    return 0


def _lines(found: SickDay) -> Iterator[str]:
    unit, care = found.person.unit, found.care
    text = f" ({found.span.text})" if found.span.text else ""
    yield f"{found.person.name}, sick days{text}{', still going on' if found.goes_on else ''}"
    yield "Your plan: " + (care.sick_plan or "none written; say: care set sick-plan TEXT")
    yield "Telephone: " + (care.team_phone or "none written; say: care set team-phone NUMBER")
    yield since_words("Glucose", found.glucose_checks, goes_on=found.goes_on)
    yield since_words("Ketones", found.ketone_checks, goes_on=found.goes_on)
    average = mean_words(found.mean, unit)
    of = "" if isinstance(found.mean, Missing) else f" {unit}"
    yield f"Glucose average: {average}{of} (n {found.glucose_checks.n}); ketones are in no average"
    if found.peak is not None:
        yield f"Highest ketones: {peak_words(found.peak)}"
        yield f"    bands: {found.bands_source}"
    yield from _gaps(found, "glucose", found.glucose_checks)
    yield from _gaps(found, "ketones", found.ketone_checks)
    yield "To read aloud:"
    yield from (f"    {each}" for each in read_aloud(found) or ("nothing written",))
    yield "The fortnight with and without set-aside days:"
    yield from (f"    {each}" for each in fortnight_words(found))
    number = (care.emergency_number or "").strip() or caution_texts()["local_number"]
    yield caution_texts()["care_team"].format(emergency=number)


def _gaps(found: SickDay, what: str, checks: Checks) -> Iterator[str]:
    every = long_words(checks.every_min)
    if not checks.gaps:
        yield f"No gap over {every} between tests of {what}."
        return
    yield f"Gaps over {every} between tests of {what}:"
    yield from (f"    {gap_words(found, each)}" for each in checks.gaps)


def _journeys(asked: Asked) -> int:
    options, around = asked.options, asked.around
    if options.rules:
        return _rules(asked)
    if options.rule is not None:
        with asked.person() as (diary, person):
            rule = set_driving_rule(diary, person, options.rule, now=around.now)
        if not options.json:
            for line in rule_lines(rule):
                around.say(line)
            return 0
    with asked.person(to_read=True) as (diary, person):
        record = record_of(diary, person)
        found = journeys_of(diary, record, period_of(asked, record), now=around.now)
    if options.json:
        around.say_json(journeys_as_json(found))
        return 0
    for each in found.journeys:
        start = when(each.event.start, person.clock)
        lasts = "" if each.end is None else f", {long_words((each.end - each.start) // 60)}"
        around.say(one_line(f"{start}{lasts}  {each.event.text or ''}".rstrip()))
        for line in journey_lines(each, found.rule):
            around.say(f"    {line}")
    around.say(f"{plural(len(found.journeys), 'journey')} of {person.name}.")
    for line in rule_lines(found.rule):
        around.say(line)
    return 0


def _rules(asked: Asked) -> int:
    if asked.options.json:
        asked.around.say_json(
            [
                {"key": each.key, "name": each.name, "source": each.source, "check": each.check}
                for each in driving_rules()
            ]
        )
        return 0
    for each in driving_rules():
        asked.around.say(f"{each.key}\n    {each.name}\n    {each.source}. {each.check}")
    return 0


def _say(asked: Asked, person: Person, noted: Noted) -> int:
    found: dict[str, Any] = {"uid": str(noted.uid), "person": person.name}
    if asked.options.json:
        asked.around.say_json({**found, "sentence": noted.sentence})
    else:
        asked.around.say(f"Saved for {person.name}. {noted.sentence}")
    return 0
