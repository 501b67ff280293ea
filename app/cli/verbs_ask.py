"""Verbs that ask a question of the diary, and keep it: compare, ask."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from app.cli.verbs_compare import a_mark, two_sides_lines
from app.cli.verbs_read import add_period, period_of
from app.cli.words import one_line, plural
from app.domain.errors import Refused
from app.domain.person import today_of
from app.domain.question import Kind, Outcome
from app.review.apart_words import portion_words
from app.review.asking import Answer, OfDays, answer, shares_verdict
from app.review.asking_words import answer_sentences, asked_so_far
from app.review.compare import Compared, compare
from app.review.days_named import WAYS
from app.review.figures import whole_time
from app.review.record import Record, record_of
from app.review.two_sides_json import (
    apart_as_json,
    mean_as_json,
    period_as_json,
    portion_as_json,
    two_sides_as_json,
)
from app.work.ask import keep_question

if TYPE_CHECKING:
    from app.cli.surroundings import Asked
    from app.domain.clock import Period

_TWO_METERS = (
    "Two meters can both be within their standard (ISO 15197:2013: within 15 %, or 15 mg/dL below "
    "100) and still differ."
)


def _words_of_compare(words: argparse.ArgumentParser) -> None:
    words.add_argument("kind", choices=[kind.value for kind in Kind])
    words.add_argument("names", nargs="*", metavar="NAME", help="the two, or the word for days")
    words.add_argument("--mark", type=a_mark, help="one slot alone, for instance waking")
    _words_of_both(words)
    words.set_defaults(verb=_compare)


def _words_of_ask(words: argparse.ArgumentParser) -> None:
    words.add_argument("word", help="a tag, an event or a name of days: swim")
    words.add_argument("--slot", type=a_mark, help="where to look, for instance night")
    words.add_argument("--outcome", choices=[each.value for each in Outcome], default="low")
    _words_of_both(words)
    words.set_defaults(verb=_ask)


def _words_of_both(words: argparse.ArgumentParser) -> None:
    add_period(words)
    words.add_argument("--by", choices=WAYS, help="what the word names; default: what is found")
    words.add_argument(
        "--same-weekdays", action="store_true", help="other days on the same weekdays alone"
    )
    words.add_argument(
        "--no-minimum", action="store_true", help="show figures from too few readings as well"
    )
    words.add_argument("--json", action="store_true")


WORDS = {"compare": _words_of_compare, "ask": _words_of_ask}


def _compare(asked: Asked) -> int:
    options, around = asked.options, asked.around
    kind = Kind(options.kind)
    if kind is not Kind.DAYS and (options.by or options.same_weekdays):
        raise Refused("--by and --same-weekdays go with: compare days WORD")
    with asked.person(to_read=True) as (diary, person):
        record = record_of(diary, person)
        found = compare(
            diary,
            record,
            kind,
            options.names,
            _period(asked, record),
            now=around.now,
            mark=options.mark,
            by=options.by,
            same_weekdays=options.same_weekdays,
            minimum=not options.no_minimum,
        )
        count = keep_question(diary, person, found.question, now=around.now)
    if options.json:
        around.say_json(_compared_as_json(found, count))
        return 0
    unit = found.unit
    around.say(f"{person.name}, {found.period.first} to {found.period.last}")
    for line in two_sides_lines(found.found, unit):
        around.say(line)
    around.say(_lows_line(found))
    if kind is Kind.METERS:
        around.say(_TWO_METERS)
    if found.outside:
        around.say(f"{plural(found.outside, 'reading')} of the period on neither side.")
    around.say(asked_so_far(count))
    return 0


def _ask(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.person(to_read=True) as (diary, person):
        record = record_of(diary, person)
        found = answer(
            diary,
            record,
            options.word,
            _period(asked, record),
            outcome=Outcome(options.outcome),
            now=around.now,
            slot=options.slot,
            by=options.by,
            same_weekdays=options.same_weekdays,
            minimum=not options.no_minimum,
        )
        count = keep_question(diary, person, found.question, now=around.now)
    if options.json:
        around.say_json(_answer_as_json(found, count))
        return 0
    around.say(f"{person.name}, {found.period.first} to {found.period.last}")
    for line in answer_sentences(found):
        around.say(one_line(line))
    around.say(asked_so_far(count))
    return 0


def _period(asked: Asked, record: Record) -> Period:
    """The period of the words; without any, everything that is written."""
    options = asked.options
    if options.days is options.first is options.ending is options.last is None:
        return whole_time(record, today_of(record.person, asked.around.now))
    return period_of(asked, record)


def _lows_line(found: Compared) -> str:
    first, second = found.found.first, found.found.second
    said = {
        "too_few": "too few to tell",
        "cannot_tell": "the two ranges overlap",
        "more_often": f"more often on the side “{first.name}”; the two ranges do not overlap",
        "less_often": f"less often on the side “{first.name}”; the two ranges do not overlap",
    }[shares_verdict(first.first_lows, second.first_lows)]
    return (
        f"Lows without rechecks, all slots together: {portion_words(first.first_lows)}; "
        f"{portion_words(second.first_lows)} – {said}."
    )


def _compared_as_json(found: Compared, count: int) -> dict[str, Any]:
    return {
        "person": found.person.name,
        "unit": found.unit.value,
        "period": period_as_json(found.period),
        "kind": found.question.kind.value,
        "mark": found.question.slot.value if found.question.slot else None,
        **two_sides_as_json(found.found),
        "lows_verdict": shares_verdict(found.found.first.first_lows, found.found.second.first_lows),
        "on_neither_side": found.outside,
        "names": list(found.names),
        "questions_asked": count,
    }


def _answer_as_json(found: Answer, count: int) -> dict[str, Any]:
    question = found.question
    return {
        "person": found.person.name,
        "unit": found.unit.value,
        "period": period_as_json(found.period),
        "asked": question.what[0],
        "by": found.days.by,
        "slot": question.slot.value if question.slot else None,
        "outcome": question.outcome.value if question.outcome else None,
        "sides": [_of_days(found.asked), _of_days(found.others)],
        "difference": None if found.apart is None else apart_as_json(found.apart),
        "verdict": found.verdict,
        "words": list(answer_sentences(found)),
        "questions_asked": count,
    }


def _of_days(side: OfDays) -> dict[str, Any]:
    return {
        "name": side.name,
        "days": side.days,
        "tested": side.tested,
        "untested": side.untested,
        "n": side.n,
        "found": portion_as_json(side.found) if side.found else None,
        "mean": mean_as_json(side.mean),
        "in_doubt": side.in_doubt,
    }
