"""The verb that shows the lows of a period, before anything else is looked at: lows."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from app.cli.verbs_patterns import head_of
from app.cli.verbs_read import add_period, period_of
from app.cli.words import one_line, plural
from app.domain.glucose import Unit, shown
from app.domain.levels import Level
from app.domain.reading import Doubt
from app.domain.safety import USUAL
from app.review.day_spells import SpellEnd
from app.review.low_spells import LowReading, ToldSpell
from app.review.lows import Counts, Lows, VeryHigh, lows_of
from app.review.lows_json import clock, lows_as_json
from app.review.record import record_of
from app.review.words import level_words
from app.statistics.around_lows import KETONE_SECONDS

if TYPE_CHECKING:
    import argparse

    from app.cli.surroundings import Asked

_HOURS = KETONE_SECONDS // 3600


def _words_of_lows(parser: argparse.ArgumentParser) -> None:
    add_period(parser)
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(verb=_lows)


WORDS = {"lows": _words_of_lows}


def _lows(asked: Asked) -> int:
    with asked.person(to_read=True) as (diary, person):
        record = record_of(diary, person)
        found = lows_of(diary, record, period_of(asked, record), now=asked.around.now)
    if asked.options.json:
        asked.around.say_json(lows_as_json(found))
        return 0
    for line in _lines(found):
        asked.around.say(line)
    return 0


def _lines(found: Lows) -> Iterator[str]:
    yield head_of(found.person, found.period)
    yield _line_words(found)
    if not found.counts.n:
        yield "No readings in these days, which says nothing about lows."
    else:
        yield _counted(found)
        yield from _levels(found)
        yield _at_night(found)
    yield from _helps(found)
    yield from _spells(found)
    if found.counts.n:
        yield from _slots(found)
    yield from _highs(found)
    yield from _very_highs(found)


def _line_words(found: Lows) -> str:
    said = []
    for at, line in enumerate(found.lines):
        low = f"below {shown(line.low.in_unit(found.unit), found.unit)} {found.unit}"
        own = "the usual line" if line.low == USUAL.low else "the person's own line"
        why = f": {one_line(line.why)}" if line.why else ""
        since = "" if at == 0 else "later in this period "
        said.append(f"{since}{low} ({own}{why})")
    return f"A low is {'; '.join(said)}."


def _counted(found: Lows) -> str:
    counts, without = found.counts, found.without_rechecks
    if not counts.lows:
        return f"No low among {plural(counts.n, 'reading')}."
    said = f"{_of(counts)} low, in {plural(len(found.spells), 'spell')}"
    rechecks = counts.n - without.n
    if rechecks:
        said += f"; without {plural(rechecks, 'recheck')}: {without.lows} of {without.n}"
    if found.in_doubt:
        said += f"; {found.in_doubt} of the lows in doubt (?)"
    return f"{said}."


def _of(counts: Counts) -> str:
    return f"{counts.lows} of {plural(counts.n, 'reading')}"


def _levels(found: Lows) -> Iterator[str]:
    help_words = f"{len(found.helps)} written" if found.helps else "none written"
    yield f"  level 3 (another person's help was needed): {help_words}"
    for level, words, count in (
        (Level.VERY_LOW, "level 2", found.counts.level_2),
        (Level.LOW, "level 1", found.counts.level_1),
    ):
        yield f"  {words} ({level_words(level, found.unit)} {found.unit}): {count}"


def _at_night(found: Lows) -> str:
    hours = f"between {clock(found.night[0])} and {clock(found.night[1])}"
    said = f"Night, {hours}: {plural(found.night_lows, 'low')}; "
    said += f"{found.nights_tested} of {plural(found.nights, 'night')} tested"
    if found.nights_tested < found.nights:
        said += "; a low in another night would not be seen"
    return f"{said}."


def _helps(found: Lows) -> Iterator[str]:
    if found.helps:
        yield ""
        yield "Help from another person was needed"
    for each in found.helps:
        value = _value(each.reading, found.unit) if each.reading else "no reading tied to it"
        what = f": {one_line(each.help.what)}" if each.help.what else ""
        yield f"  {each.help.at.wall.replace('T', ' ')[:16]}  {value}{what}"


def _spells(found: Lows) -> Iterator[str]:
    if not found.spells and not found.set_aside:
        return
    yield ""
    yield "Low spells, and lows that were set aside (in no count)"
    told = [(spell.readings[0].wall, _spell(spell, found.unit)) for spell in found.spells]
    told += [
        (each.wall, [f"  {_at(each)}  {_value(each, found.unit)}  set aside"])
        for each in found.set_aside
    ]
    for _, lines in sorted(told, key=lambda one: one[0]):
        yield from lines


def _spell(spell: ToldSpell, unit: Unit) -> list[str]:
    number = plural(spell.lows, "low reading")
    help_words = "; help was needed" if spell.helped else ""
    lines = [f"  {_at(spell.readings[0])}  {number}, {_end(spell)}{help_words}"]
    for each in spell.readings:
        since = f"+{each.minutes} min" if each.minutes else ""
        lines.append(f"      {each.wall:%H:%M}  {_value(each, unit):<18} {since}".rstrip())
    return lines


def _end(spell: ToldSpell) -> str:
    if spell.ended is SpellEnd.CLOSED:
        return f"back above by {spell.back_min} min"
    if spell.ended is SpellEnd.OPEN:
        return "no recheck yet"
    following = f"next value {spell.next_min} min later" if spell.next_min else "no value since"
    return f"no recheck written; {following}"


def _slots(found: Lows) -> Iterator[str]:
    yield ""
    yield f"{'Lows of tests':<22}{'lows':>6}{'tests':>7}"
    for each in found.by_mark:
        yield f"{each.mark.words:<22}{each.lows:>6}{each.n:>7}"


def _highs(found: Lows) -> Iterator[str]:
    if not found.spells:
        return
    tested = sum(spell.tested_after for spell in found.spells)
    yield ""
    yield (
        f"Highs within 4 hours of a low: {len(found.highs_after)}; "
        f"{tested} of {plural(len(found.spells), 'spell')} have a value in that time."
    )
    for each in found.highs_after:
        low, high = _value(each.low, found.unit), _value(each.high, found.unit)
        yield f"  {_at(each.low)}  {low}, {each.minutes} min later {high}"


def _very_highs(found: Lows) -> Iterator[str]:
    if not found.very_highs:
        return
    yield ""
    above = level_words(Level.VERY_HIGH, found.unit)
    yield (
        f"Very high ({above} {found.unit}): {len(found.very_highs)}, "
        f"with the nearest ketone test up to {_HOURS} hours away"
    )
    for each in found.very_highs:
        yield f"  {_at(each.reading)}  {_value(each.reading, found.unit)}  {_ketones(each)}"


def _ketones(each: VeryHigh) -> str:
    if each.ketones is None or each.minutes is None:
        return f"no ketone test within {_HOURS} hours"
    if each.minutes == 0:
        return f"ketones {each.ketones.shown}, at the same time"
    later = "later" if each.minutes > 0 else "before"
    return f"ketones {each.ketones.shown}, {abs(each.minutes)} min {later}"


def _at(each: LowReading) -> str:
    return f"{each.wall:%a} {each.wall.day} {each.wall:%b %Y %H:%M}"


def _value(each: LowReading, unit: Unit) -> str:
    """A value with its unit, its letter, and what is to be known of it."""
    said = f"{each.glucose.shown(unit)} {unit} {each.level.letter}{'?' if each.doubt else ''}"
    reasons = [reason.words for reason in Doubt if reason in each.doubt]
    reasons += ["on set-aside days"] if each.set_aside_day else []
    return f"{said.strip()} ({', '.join(reasons)})" if reasons else said.strip()
