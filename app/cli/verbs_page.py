"""Verbs around an appointment: page, to-ask, visit."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from app.cli.verbs_read import add_period, period_of
from app.cli.verbs_window import screen_of
from app.cli.words import a_day, plural
from app.domain.errors import Refused
from app.review.record import record_of
from app.review.second_sheet import second_sheet
from app.review.visit import visit_page
from app.store.asks import asks_of
from app.work.visits import keep_visit, tick_off, write_ask

if TYPE_CHECKING:
    from app.cli.surroundings import Asked

_DAYS = 90  # what an appointment usually looks back on (common practice, no source)


def _words_of_page(page: argparse.ArgumentParser) -> None:
    page.add_argument("out", type=Path, metavar="OUT.pdf|OUT.html")
    add_period(page, _DAYS)
    page.add_argument("--paper", choices=["A4", "Letter"], default="A4", help="default A4")
    page.add_argument(
        "--second-sheet",
        action="store_true",
        help="readings by day and the lows with their notes, on further pages",
    )
    page.add_argument("--replace", action="store_true", help="write over a file that lies there")
    page.set_defaults(verb=send_page, dry_run=False)


def _words_of_to_ask(asked: argparse.ArgumentParser) -> None:
    asked.add_argument("text", nargs="*", metavar="QUESTION", help="alone: the list")
    asked.add_argument("--done", type=int, metavar="N", help="tick off the n-th open question")
    asked.add_argument("--json", action="store_true")
    asked.set_defaults(verb=_to_ask)


def _words_of_visit(visit: argparse.ArgumentParser) -> None:
    visit.add_argument("day", type=a_day, metavar="DAY")
    visit.add_argument("outcome", nargs="*", help="what came of it")
    visit.set_defaults(verb=_visit)


WORDS = {"page": _words_of_page, "to-ask": _words_of_to_ask, "visit": _words_of_visit}


def send_page(asked: Asked) -> int:
    """Write the page into the file that the words name; with `--dry-run` say what it would hold."""
    options, around = asked.options, asked.around
    out: Path = options.out
    kind = out.suffix.lower()
    if kind not in (".pdf", ".html", ".htm"):
        raise Refused(f"{out.name} should end in .pdf or .html. Nothing was written.")
    with asked.person(to_read=True) as (diary, person):
        record = record_of(diary, person)
        page = visit_page(diary, record, period_of(asked, record), now=around.now)
        second = None
        if options.second_sheet:
            second = second_sheet(diary, record, page.period, now=around.now)
        diary_path = diary.path
    if out.exists() and out.samefile(diary_path):
        raise Refused(f"{out} is the diary itself; it was left as it is. Name another file.")
    if out.exists() and not options.replace:
        raise Refused(f"Something lies at {out} already; it was left as it is. Say --replace.")
    period, n = page.period, plural(page.figures.n, "reading")
    what = f"{person.name}, {period.first} to {period.last}, {n}"
    if second is not None:
        what += ", with the second sheet"
    if options.dry_run:
        around.say(f"The page for an appointment: {what}. Nothing was written.")
        return 0
    screen_of(asked).write_page(page, out, options.paper, second)
    around.say(f"{out}: {what}. Only you can read the file.")
    return 0


def _to_ask(asked: Asked) -> int:
    options, around = asked.options, asked.around
    text = " ".join(options.text)
    if text and options.done is not None:
        raise Refused("Either write a question or tick one off. Nothing was changed.")
    with asked.person(to_read=not (text or options.done)) as (diary, person):
        if text:
            write_ask(diary, person, text, now=around.now)
        if options.done is not None:
            ticked = tick_off(diary, person, options.done, now=around.now)
            around.say(f"Ticked off: {ticked.text}")
        found = [each for each in asks_of(diary, person) if each.done_at is None]
    if options.json:
        around.say_json([{"number": at, "text": each.text} for at, each in enumerate(found, 1)])
        return 0
    for at, each in enumerate(found, 1):
        around.say(f"{at}  {each.text}")
    if not found:
        around.say("Nothing to ask is written down.")
    return 0


def _visit(asked: Asked) -> int:
    day: date = asked.options.day
    with asked.person() as (diary, person):
        outcome = " ".join(asked.options.outcome) or None
        keep_visit(diary, person, day, outcome=outcome, now=asked.around.now)
    asked.around.say(f"Visit of {day}{f': {outcome}' if outcome else ''}.")
    return 0
