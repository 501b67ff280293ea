"""A file of readings by another hand: text, delimiter, columns, order and unit, then its rows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from app.domain.errors import Question, Refused
from app.domain.glucose import Unit
from app.exchange.csv_restore import is_our_export, restore
from app.exchange.dates import Dates, date_reader, decide_order
from app.exchange.encodings import Decoded, decoded
from app.exchange.file_read import FileRead
from app.exchange.layout import Table, find_table
from app.exchange.mark_words import MarkWords
from app.exchange.peek import signature
from app.exchange.recipe import Recipe
from app.exchange.records import lines_of
from app.exchange.rows import Readers, read_rows
from app.exchange.spreadsheet import is_spreadsheet, sheet_as_csv
from app.exchange.survey import Survey, column_unit, survey_of
from app.exchange.times import Clocks, clock_time
from app.exchange.values import Values, ValuesByUnit, check_limits


def read_table(data: bytes, recipe: Recipe | None, *, unit_hint: Unit | None = None) -> FileRead:
    """Read a file of readings, doses and events; nothing is written anywhere.

    Parameters
    ----------
    data : bytes
        The file.
    recipe : Recipe or None
        How to read it. Without one, our own export is known by its header, and other files by the
        plain words of theirs.
    unit_hint : Unit or None
        The person's unit. A question about the unit names it first; it is never the answer.

    Returns
    -------
    FileRead
        Rows and problems, or the questions that stand in the way and no row.

    Raises
    ------
    Refused
        For a file that holds no table at all, and a recipe that does not fit the file.
    """
    recipe = recipe or Recipe()
    text = decoded(as_text(data), recipe.encoding)
    if isinstance(text, Question):
        return FileRead(questions=(text,), source=recipe.source, zone=recipe.zone)
    lines = lines_of(text.text)
    ours = is_our_export(lines)
    if ours is not None:
        return restore(lines, ours, text)
    found = find_table(lines, recipe, damaged=text.damaged)
    if isinstance(found, Question):
        return FileRead(
            questions=(found,), source=recipe.source, zone=recipe.zone, encoding=text.encoding
        )
    return _read(found, recipe, text, unit_hint)


def as_text(data: bytes) -> bytes:
    """The bytes of a text file; of a spreadsheet, those of its first sheet as CSV."""
    return sheet_as_csv(data) if is_spreadsheet(data) else data


def _read(table: Table, recipe: Recipe, text: Decoded, hint: Unit | None) -> FileRead:
    table, survey = survey_of(table, recipe)
    columns = table.columns
    order, asks_order = recipe.date_order, None
    if order is None and recipe.date_format is None:
        order, asks_order = decide_order(survey.dates)
    unit, asks_unit = column_unit(survey, recipe, columns, hint)
    about = FileRead(
        questions=tuple(question for question in (asks_order, asks_unit) if question),
        source=recipe.source,
        zone=recipe.zone,
        encoding=text.encoding,
        delimiter=table.sheet.delimiter,
        columns=tuple(title.strip() for title in columns.titles),
        roles=tuple(columns.at.items()),
        date_order=order,
        signature=signature(columns.titles, table.sheet.delimiter),
    )
    if about.questions:
        return about
    check_limits(recipe.off_scale, unit)
    written = columns.title_unit[1] if columns.title_unit else None
    readers = _readers(recipe, survey, order, unit, written)
    rows, problems = read_rows(table.sheet, columns, readers, titled=table.titled)
    if not rows and not problems:
        raise Refused("The file holds a header and no row; nothing was changed.")
    stated = recipe.unit or columns.title_unit or "unit" in columns.at
    notes = tuple(_notes(table, readers, None if stated else unit))
    strange = tuple(dict.fromkeys(readers.marks.unknown.values()))
    return replace(about, rows=rows, problems=problems, notes=notes, strange_marks=strange)


def _readers(
    recipe: Recipe, survey: Survey, order: str | None, unit: Unit, written: str | None
) -> Readers:
    slots = None
    if recipe.times == "slot":
        times = map(clock_time, recipe.slot_times)
        slots = frozenset(time for time in times if time is not None)
    values = Values(unit, written, recipe.off_scale)
    return Readers(
        split=survey.split,
        dates=Dates(date_reader(recipe.date_format, order)),
        clocks=Clocks(recipe.time_format, slots=slots),
        values=values,
        values_by_unit=ValuesByUnit(values, recipe.off_scale),
        values_from=tuple(
            (line, Values(other, written, recipe.off_scale))  # the key stays what the file says
            for line, other in recipe.unit_from or ()
        ),
        codes=recipe.codes,
        marks=MarkWords(recipe.marks),
    )


def _notes(table: Table, readers: Readers, guessed: Unit | None) -> Iterator[str]:
    columns, lines = table.columns, table.sheet.lines
    if table.passed_over:
        yield f"Passed over before the header: {' / '.join(table.passed_over)[:200]}"
    used = set(columns.at.values())
    unread = [title.strip() for place, title in enumerate(columns.titles) if place not in used]
    if any(unread):
        yield f"Columns not read: {', '.join(filter(None, unread))}."
    if guessed is not None:
        yield f"The file names no unit; by its values it is {guessed}."
    if readers.marks.unknown:
        words = ", ".join(f'"{word}"' for word in dict.fromkeys(readers.marks.unknown.values()))
        yield f"Words for marks not known here, kept in the notes: {words}."
    if any(offset == 0 for _, _, offset in readers.clocks.values()):
        yield "Some times are written in UTC."
    if not lines[-1].endswith(("\n", "\r")):
        yield f"The last line ({len(lines)}) has no line end; if the file was cut, look at it."
