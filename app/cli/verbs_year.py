"""The verb that shows months by slot: year."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING

from app.cli.words import a_day, one_line, plural
from app.domain.glucose import Unit
from app.domain.marks import SLOTS
from app.domain.person import today_of
from app.review.figure import Missing
from app.review.record import record_of
from app.review.words import figure_words
from app.review.year import MONTHS, YearView, year_view
from app.review.year_cells import YearCell
from app.review.year_json import year_as_json
from app.statistics.enough import SLOT_BOX

if TYPE_CHECKING:
    from app.cli.surroundings import Asked

_WIDE = 8


def _words_of_year(words: argparse.ArgumentParser) -> None:
    words.add_argument(
        "--ending", type=a_day, metavar="DAY", help="a day of the last month (default today)"
    )
    words.add_argument(
        "--months", type=int, default=MONTHS, metavar="N", help=f"how many (default {MONTHS})"
    )
    words.add_argument("--json", action="store_true")
    words.set_defaults(verb=_year)


WORDS = {"year": _words_of_year}


def _year(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.person(to_read=True) as (diary, person):
        ending = options.ending or today_of(person, around.now)
        found = year_view(
            diary, record_of(diary, person), ending, now=around.now, months=options.months
        )
    if options.json:
        around.say_json(year_as_json(found))
        return 0
    for line in _lines(found):
        around.say(line)
    return 0


def _lines(found: YearView) -> Iterator[str]:
    unit, period = found.unit, found.period
    yield f"{found.person.name}, {period.first} to {period.last}, {unit}; n {found.n}"
    yield f"Median of each slot and month from n {SLOT_BOX.needed} on, and n; – is not tested"
    yield ""
    yield _row("", [f"{month.first:%b %y}" for month in found.months])
    for at, slot in enumerate(SLOTS):
        cells = [month.cells[at] for month in found.months]
        yield _row(slot.words, [_cell(cell, unit) for cell in cells])
        if any(cell.n for cell in cells):
            yield _row("", [f"n {cell.n}" if cell.n else "" for cell in cells])
    for words, counts in (
        ("readings in all", [month.n for month in found.months]),
        ("of them low", [month.lows for month in found.months]),
        ("of them high", [month.highs for month in found.months]),
        ("without a mark", [month.unmarked for month in found.months]),
    ):
        yield _row(words, [str(count) for count in counts])
    gaps = [f"{month.first:%b %Y}" for month in found.months if month.is_gap]
    if gaps:
        yield f"No readings in {', '.join(gaps)}; nothing is drawn across."
    for mark in found.beside:
        other = mark.other
        yield f"{other.first.year}: {one_line(other.sentence)}"
    if found.left_out:
        parts = [
            f"{plural(n, 'reading')} {why.replace('_', ' ')}" for why, n in found.left_out.items()
        ]
        yield f"Left out: {', '.join(parts)}"


def _row(head: str, cells: list[str]) -> str:
    return (f"{head:<20}" + "".join(f"{cell:>{_WIDE}}" for cell in cells)).rstrip()


def _cell(cell: YearCell, unit: Unit) -> str:
    if not cell.n:
        return "–"
    return "few" if isinstance(cell.median, Missing) else figure_words(cell.median, unit)
