"""Verbs that tell of readings that belong together: pairs of a meal, nights."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from app.cli.verbs_patterns import head_of, put_out
from app.cli.verbs_read import add_period, period_of
from app.cli.words import plural
from app.review.meals import MEALS
from app.review.night_stories import NightsFound, nights_of
from app.review.night_words import night_words, nights_sentences
from app.review.pair_words import (
    NO_START,
    REASONS,
    WITHIN_ERROR,
    pair_words,
    rise_words,
    values_words,
    why_words,
)
from app.review.pairs import PairsFound, pairs_of
from app.review.patterns_json import nights_as_json, pairs_as_json
from app.review.record import record_of

if TYPE_CHECKING:
    import argparse

    from app.cli.surroundings import Asked
    from app.review.seen import Seen

DAYS = 90
LISTED_UP_TO = 20  # readings without a pair; beyond it those without a partner are only counted


def _words_of_pairs(parser: argparse.ArgumentParser) -> None:
    add_period(parser, DAYS)
    names = [meal.name.replace(" ", "-") for meal in MEALS]
    parser.add_argument("--meal", choices=names, help="one kind of meal alone")
    parser.add_argument("--no-minimum", action="store_true", help="sums of too few pairs as well")
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(verb=_pairs)


def _words_of_nights(parser: argparse.ArgumentParser) -> None:
    add_period(parser, DAYS)
    parser.add_argument("--no-minimum", action="store_true", help="sums of too few nights as well")
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(verb=_nights)


WORDS = {"pairs": _words_of_pairs, "nights": _words_of_nights}


def _pairs(asked: Asked) -> int:
    options = asked.options
    with asked.person(to_read=True) as (diary, person):
        record = record_of(diary, person)
        found = pairs_of(
            diary,
            record,
            period_of(asked, record),
            now=asked.around.now,
            meal=options.meal and options.meal.replace("-", " "),
            minimum=not options.no_minimum,
        )
    put_out(asked, pairs_as_json(found), _pair_lines(found))
    return 0


def _pair_lines(found: PairsFound) -> Iterator[str]:
    unit = found.unit
    yield f"{head_of(found.person, found.period)}, {unit}"
    whole = found.all_meals
    for each in found.by_meal:
        if each is whole and len(found.by_meal) == 2:
            continue
        none = sum(each.not_paired.values())
        yield ""
        yield f"{each.meal}: {plural(each.rise.n, 'pair')}, {none} not paired"
        if each.rise.n:
            yield f"  rise {rise_words(each, unit)}"
            yield f"  {each.two_hours} about 2 h after, {each.one_hour} about 1 h after"
        if each.within_error:
            yield f"  {each.within_error} {WITHIN_ERROR}"
        if each.no_start:
            yield f"  {each.no_start} of {each.rise.n}: {NO_START}"
        for why, count in each.not_paired.items():
            yield f"  {count} not paired: {REASONS[why]}"
    if found.pairs:
        yield ""
        yield "Pairs"
    for pair in found.pairs:
        yield f"  {_when(pair.before)}  {pair.meal}: {pair_words(pair, unit)}"
    rest = [each for each in found.not_paired if each.before and each.after]
    if len(found.not_paired) <= LISTED_UP_TO:
        rest = list(found.not_paired)
    if rest:
        yield ""
        yield "Not paired" if len(rest) == len(found.not_paired) else "Not paired, of two readings"
    for left in rest:
        at = _when(left.before or left.after)
        yield f"  {at}  {left.meal}: {values_words(left, unit)}, {why_words(left)}"


def _nights(asked: Asked) -> int:
    with asked.person(to_read=True) as (diary, person):
        record = record_of(diary, person)
        found = nights_of(
            diary,
            record,
            period_of(asked, record),
            now=asked.around.now,
            minimum=not asked.options.no_minimum,
        )
    put_out(asked, nights_as_json(found), _night_lines(found))
    return 0


def _night_lines(found: NightsFound) -> Iterator[str]:
    yield f"{head_of(found.person, found.period)}, {found.unit}"
    yield ""
    yield from nights_sentences(found)
    tested = [night for night in found.nights if night.between]
    if tested:
        yield ""
        yield "Nights with a value: bedtime → lowest in the night → waking"
    for night in tested:
        yield f"  {night.evening}  {night_words(night, found.unit)}"


def _when(seen: Seen | None) -> str:
    """Day and time of day of a reading."""
    return f"{seen.wall:%Y-%m-%d %H:%M}" if seen else ""
