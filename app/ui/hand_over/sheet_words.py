"""A paper sheet in words: what a box says, what will be saved, and the account of the whole."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QLocale

from app.domain.person import Person
from app.domain.return_sheet import CellReading, Understood
from app.ui.hand_over.words import tr
from app.ui.words import clock_words, count_words, day_words, joined, value_words
from app.work.return_sheet import Looked, SheetLook


def row_words(day: date, person: Person) -> str:
    """The day of a row: "Mon 4 May"."""
    weekday = QLocale().dayName(day.isoweekday(), QLocale.FormatType.ShortFormat)
    return f"{weekday} {day_words(day, person.date_order, year=False, short=True)}"


def says(each: Understood, person: Person) -> str:
    """What a part of a box was understood as, or what stands in the way."""
    if not isinstance(each, CellReading):
        return each.why
    return joined((value_words(each.glucose), _time(each, person), each.note or ""))


def line_words(each: Looked, person: Person) -> str:
    """A reading of the sheet, and where it goes."""
    reading = each.reading
    where = {
        "new": tr("new"),
        "one": tr("one with what is there"),
        "already": tr("there already"),
        "asked": tr("asked about"),
    }[each.state]
    return joined(
        (
            row_words(reading.day, person),
            tr(reading.slot.words),
            value_words(reading.glucose),
            _time(reading, person),
            reading.note or "",
            where,
        )
    )


def account_words(look: SheetLook) -> str:
    """Every reading of the sheet by where it goes, the sum of it first."""
    parts = [
        tr("{n} on the sheet").format(n=count_words(look.seen)),
        *(
            words.format(n=count_words(n))
            for n, words in (
                (look.count("new"), tr("{n} new")),
                (look.count("one"), tr("{n} one with what is there")),
                (look.count("already"), tr("{n} there already")),
                (look.count("asked"), tr("{n} asked about")),
                (len(look.troubles), tr("{n} not understood")),
            )
            if n
        ),
    ]
    return joined(parts)


def _time(reading: CellReading, person: Person) -> str:
    wall = reading.moment.local
    at = clock_words(wall, person)
    if wall.date() != reading.day:
        at = tr("{day} {time}").format(day=row_words(wall.date(), person), time=at)
    return at if reading.has_time else tr("about {time}, the usual time").format(time=at)
