"""How a file is laid out: its delimiter, its header or none, and the columns it has."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice

from app.domain.errors import Problem, Question, Refused
from app.exchange.columns import Columns, columns_by_recipe, columns_by_words, columns_question
from app.exchange.delimiters import find_delimiter, width_of
from app.exchange.recipe import Recipe
from app.exchange.records import Sheet

_HEADER_WITHIN = 30  # records in which a header is looked for


@dataclass(frozen=True, slots=True)
class Table:
    """A sheet with its columns known; `titled` if its first record is the header."""

    sheet: Sheet
    columns: Columns
    titled: bool
    passed_over: tuple[str, ...] = ()

    def data(self) -> Iterator[tuple[int, list[str]]]:
        """The records without the header, for a look ahead: broken ones are passed over."""
        records = self.sheet.records([], date_at=self.columns.date_at)
        return islice(records, 1, None) if self.titled else records


def find_table(lines: list[str], recipe: Recipe, *, damaged: bool) -> Table | Question:
    """The table in the lines of a file, by the recipe or by the words of its header.

    Raises
    ------
    Refused
        For a file of one column, and a recipe that names columns which are not there.
    """
    delimiter = recipe.delimiter or find_delimiter(lines, first=recipe.skip)
    if isinstance(delimiter, Question):
        return delimiter
    if delimiter is None:
        raise Refused(
            "The file has one column, and a reading needs at least a time and a value; nothing was "
            "changed. If another sign than comma, semicolon, tab or bar stands between its fields, "
            "replace it by one of these."
        )
    sheet = Sheet(lines, delimiter, recipe.skip, damaged=damaged)
    return _by_words(sheet) if not recipe.columns else _by_recipe(sheet, recipe)


def _by_recipe(sheet: Sheet, recipe: Recipe) -> Table:
    problems: list[Problem] = []
    line, first = next(sheet.records(problems), (0, []))
    if not first:
        raise Refused(
            "The file holds no row after the lines that the recipe skips; nothing changed."
        )
    titled = recipe.header
    if titled is None:
        by_name = any(isinstance(column, str) for column in recipe.columns.values())
        titled = by_name or not _has_digit(first, recipe)
    if titled and problems:
        raise Refused(f"The header (line {problems[0].line}) is broken: {problems[0].why}.")
    titles = first if titled else None
    width = _title_width(first) if titled else width_of(sheet)
    columns = columns_by_recipe(recipe, titles, width)
    return Table(replace(sheet, first=line - 1), columns, titled)


def _has_digit(first: list[str], recipe: Recipe) -> bool:
    column = recipe.columns.get("date", recipe.columns.get("datetime", 1))
    place = int(column) - 1
    return place < len(first) and any(char.isdigit() for char in first[place])


def _title_width(titles: list[str]) -> int:
    width = len(titles)
    while width and not titles[width - 1].strip():
        width -= 1
    return width


def _by_words(sheet: Sheet) -> Table | Question:
    first: list[str] = []
    for line, fields in islice(sheet.records([]), _HEADER_WITHIN):
        titles = fields[: _title_width(fields)]
        first = first or fields
        columns = columns_by_words(titles) if titles else None
        if isinstance(columns, Question):
            return columns
        if columns is not None:
            passed = sheet.lines[sheet.first : line - 1]
            shown = tuple(text.strip() for text in passed if text.strip())
            return Table(replace(sheet, first=line - 1), columns, True, shown)
    return columns_question(first, "no line names a date, and a value such as glucose or result")
