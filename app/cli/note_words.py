"""The words of the verb `note`: what can be written down beside readings, and how it is said."""

from __future__ import annotations

import argparse

from app.cli.words import a_day
from app.domain.written import EVENT_KINDS, SPAN_KINDS
from app.work.note_days import SETTLING_DAYS


def words_of_note(note: argparse.ArgumentParser) -> None:
    """Add the kinds of notes; each says in `act` which it is."""
    kinds = note.add_subparsers(
        title="what", metavar="help|ketone|lab|change|days|event|tag|list", required=True
    )
    helped = _timed(kinds.add_parser("help", help="another person's help was needed"))
    helped.add_argument("--what", metavar="TEXT", help="what happened, in a few words")
    helped.add_argument("--with-reading", action="store_true", help="tie it to the nearest reading")
    helped.set_defaults(act="help")
    ketone = _timed(kinds.add_parser("ketone", help="a ketone test: 0.8, HI, or urine: trace"))
    ketone.add_argument("result", nargs="+")
    ketone.add_argument("--keeper", metavar="NAME", help="who wrote it")
    ketone.set_defaults(act="ketone")
    lab = kinds.add_parser("lab", help='a laboratory\'s result: "7.9 %%", "63 mmol/mol"')
    lab.add_argument("result", nargs="+")
    lab.add_argument("--on", type=a_day, metavar="DAY", help="the day it was taken")
    _timed(lab).set_defaults(act="lab")
    change = kinds.add_parser("change", help="what is done differently from a day on")
    change.add_argument("what", nargs="+")
    change.add_argument("--on", type=a_day, metavar="DAY", help="default today")
    change.add_argument(
        "--settling", type=int, default=SETTLING_DAYS, metavar="N", help="days left out after it"
    )
    _answers(change).set_defaults(act="change")
    days = kinds.add_parser("days", help=f"days with a name: {', '.join(SPAN_KINDS)}")
    days.add_argument("kind")
    days.add_argument("text", nargs="*")
    days.add_argument("--from", dest="first", type=a_day, metavar="DAY", help="default today")
    days.add_argument("--to", dest="last", type=a_day, metavar="DAY", help="else they go on")
    days.add_argument(
        "--set-aside", action="store_true", help="may be left out of averages, never out of lists"
    )
    _answers(days).set_defaults(act="days")
    event = _timed(kinds.add_parser("event", help=f"an event: {', '.join(EVENT_KINDS)}"))
    event.add_argument("kind")
    event.add_argument("text", nargs="*")
    event.add_argument("--until", metavar="WALL")
    event.add_argument("--carbs", metavar="G", help="carbohydrate in grams")
    event.add_argument("--keeper", metavar="NAME", help="who wrote it")
    event.set_defaults(act="event")
    tag = _timed(kinds.add_parser("tag", help="a word of your own, on a reading or on a day"))
    tag.add_argument("label")
    tag.add_argument("--on", type=a_day, metavar="DAY", help="on the whole day")
    tag.set_defaults(act="tag")
    shown = kinds.add_parser("list", help="what was written down beside the readings")
    shown.add_argument("--from", dest="first", type=a_day, metavar="DAY")
    shown.add_argument("--to", dest="last", type=a_day, metavar="DAY")
    _answers(shown).set_defaults(act="list")


def _answers(parser: argparse.ArgumentParser) -> argparse.ArgumentParser:
    parser.add_argument("--json", action="store_true")
    return parser


def _may_ask(parser: argparse.ArgumentParser) -> argparse.ArgumentParser:
    parser.add_argument("--sure", action="store_true", help="keep an odd value or time as typed")
    return _answers(parser)


def _timed(parser: argparse.ArgumentParser) -> argparse.ArgumentParser:
    parser.add_argument("--at", metavar="WALL", help="when, if not now: 2026-03-12 07:10")
    parser.add_argument("--zone", help="the zone of the place, if not the person's own")
    return _may_ask(parser)
