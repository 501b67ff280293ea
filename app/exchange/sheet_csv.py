"""A paper sheet as a CSV file of the same shape: a day in the first column, then the slots."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from app.domain.errors import NeedsAnswer, Problem, Question, Refused
from app.domain.marks import SLOTS, Mark
from app.domain.return_sheet import SheetCell
from app.exchange.dates import Dates, date_reader
from app.exchange.encodings import decoded
from app.exchange.file_read import RowRefused
from app.exchange.mark_words import MarkWords
from app.exchange.recipe import DELIMITERS
from app.exchange.records import Sheet, lines_of, problem_at

DAY = "day"


@dataclass(frozen=True, slots=True)
class SheetFile:
    """What a file holds: the boxes with something in them, and the rows that could not be read."""

    cells: tuple[SheetCell, ...]
    problems: tuple[Problem, ...]


def read_sheet(data: bytes, *, date_order: str) -> SheetFile:
    """Read a sheet; its titles are the slots in plain words, "before lunch" or "before_lunch".

    Parameters
    ----------
    date_order : {"dmy", "mdy", "ymd"}
        How days are read that do not begin with the year.

    Raises
    ------
    Refused
        It is no text, or has no such titles. Nothing was changed.
    NeedsAnswer
        Its encoding can't be told.
    """
    text = decoded(data, None)
    if isinstance(text, Question):
        raise NeedsAnswer((text,))
    lines = lines_of(text.text)
    delimiter = _delimiter(lines)
    problems: list[Problem] = []
    records = Sheet(lines, delimiter, damaged=text.damaged).records(problems)
    titles = next(records, (0, []))[1]
    slots = _slots(titles)
    cells: list[SheetCell] = []
    days = {order: Dates(date_reader(None, order)) for order in ("ymd", date_order)}
    for line, fields in records:
        if len(fields) < 2 or not any(field.strip() for field in fields):
            continue
        try:
            day = _day(fields[0], days, date_order)
        except RowRefused as refused:
            problems.append(problem_at(line, delimiter.join(fields), str(refused)))
            continue
        if len(fields) > len(titles):
            why = f"the row has {len(fields)} fields where {len(titles)} belong"
            problems.append(problem_at(line, delimiter.join(fields), why))
            continue
        cells += [
            SheetCell(day, slot, field, line)
            for slot, field in zip(slots, fields[1:], strict=False)
            if field.strip()
        ]
    return SheetFile(tuple(cells), tuple(problems))


def blank_sheet(days: Sequence[date]) -> str:
    """The text of an empty sheet with its titles, to be filled in."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow([DAY, *(slot.words for slot in SLOTS)])
    writer.writerows([day.isoformat(), *[""] * len(SLOTS)] for day in days)
    return out.getvalue()


def _delimiter(lines: list[str]) -> str:
    """The one that parts the titles into the most slots."""
    first = next((line for line in lines if line.strip()), "")

    def slots_by(sign: str) -> int:
        words = MarkWords({})
        parts = first.rstrip("\r\n").split(sign)[1:]
        return sum(words[part.strip(' "')] in SLOTS for part in parts)

    return max(DELIMITERS.values(), key=slots_by)


def _slots(titles: list[str]) -> list[Mark]:
    words = MarkWords({})
    found = [words[title] for title in titles[1:]]
    for title, slot in zip(titles[1:], found, strict=True):
        if slot not in SLOTS:
            raise Refused(
                f'The title "{title.strip()[:40]}" is no slot. Nothing was changed; the first row '
                f"reads: day, {', '.join(each.words for each in SLOTS)}."
            )
    if not found or len(set(found)) < len(found):
        what = "names a slot twice" if found else "names no slot"
        raise Refused(
            f"The first row {what}. Nothing was changed; it reads: day, "
            f"{', '.join(each.words for each in SLOTS)}."
        )
    return found


def _day(text: str, days: dict[str, Dates], order: str) -> date:
    """A day that begins with its year whatever the order, else by the person's order."""
    begins_with_year = text.strip()[:4].isdecimal()
    return days["ymd" if begins_with_year else order][text].date()
