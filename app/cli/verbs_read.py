"""Verbs that show what is in the diary: list, figures."""

from __future__ import annotations

import argparse
from datetime import date
from typing import TYPE_CHECKING, Any

from app.cli.figures_text import figures_lines
from app.cli.words import a_day, one_line, plural, when
from app.domain.clock import Period, last_days
from app.domain.errors import Refused
from app.domain.person import today_of
from app.review.figures import figures, whole_time
from app.review.figures_json import figures_as_json
from app.review.listing import Listed, listing
from app.review.rarer import rarer_figures
from app.review.record import Record, record_of

if TYPE_CHECKING:
    from app.cli.surroundings import Asked
    from app.domain.person import Person

DEFAULT_DAYS = 14


def _words_of_list(shown: argparse.ArgumentParser) -> None:
    shown.add_argument("--from", dest="first", type=a_day, metavar="DAY")
    shown.add_argument("--to", dest="last", type=a_day, metavar="DAY")
    shown.add_argument("--raw", action="store_true", help="the raw stamps beside the times")
    shown.add_argument("--json", action="store_true")
    shown.set_defaults(verb=_list)


def _words_of_figures(worked: argparse.ArgumentParser) -> None:
    add_period(worked)
    worked.add_argument(
        "--no-minimum", action="store_true", help="show figures from too few readings as well"
    )
    worked.add_argument(
        "--by-todays-limits", action="store_true", help="judge all readings by the goals of today"
    )
    worked.add_argument("--all", action="store_true", help="the rarer figures too")
    worked.add_argument("--json", action="store_true", help="every figure, the rarer ones too")
    worked.set_defaults(verb=_figures)


WORDS = {"list": _words_of_list, "figures": _words_of_figures}


def add_period(parser: Any, days: int = DEFAULT_DAYS) -> None:
    """Add the words that choose a period; without any it is so many whole days to today."""
    parser.set_defaults(default_days=days)
    how = parser.add_mutually_exclusive_group()
    how.add_argument("--days", type=int, metavar="N", help=f"whole days (default {days})")
    how.add_argument("--from", dest="first", type=a_day, metavar="DAY")
    how.add_argument("--all-time", action="store_true")
    parser.add_argument("--to", dest="last", type=a_day, metavar="DAY", help="with --from")
    parser.add_argument("--ending", type=a_day, metavar="DAY", help="last day (default today)")


def period_of(asked: Asked, record: Record) -> Period:
    """The period that the words ask for."""
    options = asked.options
    today = today_of(record.person, asked.around.now)
    if options.last is not None and (options.first is None or options.ending is not None):
        raise Refused("--to goes with --from; to end --days on a day, say --ending.")
    if options.first is not None:
        return Period(options.first, options.last or options.ending or today)
    if options.all_time:
        whole = whole_time(record, today)
        return Period(whole.first, options.ending) if options.ending else whole
    days = options.default_days if options.days is None else options.days
    return last_days(days, options.ending or today)


def _list(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.person(to_read=True) as (diary, person):
        period = None
        if options.first or options.last:
            period = Period(options.first or date.min, options.last or date.max)
        found = listing(diary, person, period)
    if options.json:
        around.say_json([_as_json(each) for each in found])
        return 0
    for each in found:
        raw = f"   [{one_line(each.reading.stamp.wall or 'no stamp')}]" if options.raw else ""
        around.say(_as_line(each, person) + raw)
    around.say(f"{plural(len(found), 'reading')} of {person.name}.")
    undated = sum(each.reading.moment is None for each in found)
    if undated:
        around.say(f"{undated} undated, in no figure; see: thimblebook clocks undated")
    return 0


def _figures(asked: Asked) -> int:
    options, around = asked.options, asked.around
    rarer = None
    with asked.person(to_read=True) as (diary, person):
        record = record_of(diary, person)
        period, minimum = period_of(asked, record), not options.no_minimum
        found = figures(
            record,
            period,
            now=around.now,
            minimum=minimum,
            by_todays_limits=options.by_todays_limits,
        )
        if options.json or options.all:
            rarer = rarer_figures(record, period, now=around.now, minimum=minimum)
    if options.json:
        around.say_json(figures_as_json(found, rarer))
        return 0
    for line in figures_lines(found, rarer):
        around.say(line)
    return 0


def _as_line(each: Listed, person: Person) -> str:
    reading = each.reading
    letter = each.level.letter if each.level else ""
    letter += "?" if reading.doubt else ""
    said = [
        "" if reading.mark == "none" else reading.mark.replace("_", " "),
        "" if reading.standing == "counted" else reading.standing.words,
        " ".join("#" + tag for tag in reading.tags),
        reading.note or "",
    ]
    said = [one_line(part) for part in said]
    value = reading.glucose.shown(person.unit)
    words = " · ".join(part for part in said if part)
    return f"{when(reading.moment, person.clock):<22} {value:>6} {person.unit} {letter:<3} {words}"


def _as_json(each: Listed) -> dict[str, Any]:
    reading, moment = each.reading, each.reading.moment
    return {
        "uid": str(reading.uid),
        "at": moment.wall if moment else None,
        "instant": moment.instant if moment else None,
        "zone": moment.zone if moment else None,
        "offset_min": moment.offset_min if moment else None,
        "value": reading.glucose.value,
        "unit": reading.glucose.unit,
        "bound": reading.glucose.bound,
        "level": each.level,
        "mark": reading.mark,
        "after_min": reading.after_min,
        "site": reading.site,
        "site_detail": reading.site_detail,
        "hands": reading.hands,
        "standing": reading.standing,
        "standing_why": reading.standing_why,
        "doubt": [reason.words for reason in type(reading.doubt) if reason in reading.doubt],
        "tags": list(reading.tags),
        "note": reading.note,
        "keeper": reading.keeper,
        "place": reading.place,
        "time_from": reading.time_from,
        "time_state": reading.time_state,
        "time_precision": reading.time_precision,
        "origin": reading.origin,
        "added_later": reading.added_later,
        "amended": reading.amended,
        "raw": {
            "wall": reading.stamp.wall,
            "value": reading.stamp.value,
            "unit": reading.stamp.unit,
            "code": reading.stamp.code,
        },
    }
