"""The rows of a table, once its columns, unit and date order are settled: the quick part."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from app.domain.errors import Problem
from app.exchange.beside import beside_reader
from app.exchange.columns import Columns
from app.exchange.dates import Dates
from app.exchange.file_read import (
    ControlRow,
    DoseRow,
    EventRow,
    More,
    ReadingRow,
    Row,
    RowRefused,
)
from app.exchange.mark_words import MarkWords
from app.exchange.moments import Split, moment_reader
from app.exchange.recipe import ControlAs, DoseAs, EventAs, LeftOut, MarkAs, Meaning
from app.exchange.records import Sheet, problem_at
from app.exchange.times import Clocks
from app.exchange.values import Amounts, Measured, Values, ValuesByUnit

_NO_LINE = 1 << 62


@dataclass(frozen=True, slots=True)
class Readers:
    """One reader for each kind of text; each remembers what it has read, as texts come again."""

    split: Split
    dates: Dates
    clocks: Clocks
    values: Values
    values_by_unit: ValuesByUnit
    values_from: tuple[tuple[int, Values], ...]  # from these lines on, in the other unit
    codes: Mapping[str, Meaning]
    marks: MarkWords


def read_rows(
    sheet: Sheet, columns: Columns, readers: Readers, *, titled: bool
) -> tuple[list[Row], list[Problem]]:
    """Every record as a row or as a problem, both in the order of the file.

    With `titled`, the first record is the header and is passed over.
    """
    rows: list[Row] = []
    problems: list[Problem] = []
    width, value_at = columns.width, columns.at["value"]
    code_at, note_at = columns.at.get("code"), columns.at.get("note")
    when = moment_reader(columns, readers.split, readers.dates, readers.clocks)
    measured, beside = _measured(columns, readers), beside_reader(columns, readers.marks)
    meanings, amounts, unmarked = _Meanings(readers.codes), Amounts(), MarkAs()
    by_offset: dict[int, More] = {}
    turns = list(reversed(readers.values_from))
    turn_at = turns[-1][0] if turns else _NO_LINE
    records = sheet.records(problems, date_at=columns.date_at)
    if titled:
        next(records)
    # Rows are made by position, and the caches are asked here without a call between: this loop is
    # what bringing in a file of years costs.
    for line, fields in records:
        while line >= turn_at:
            measured = _in_one_unit(turns.pop()[1], value_at)
            turn_at = turns[-1][0] if turns else _NO_LINE
        try:
            if len(fields) != width:
                fields = _fitted(fields, width)
            raw_wall, wall, precision, offset = when(fields)
            code = None if code_at is None else fields[code_at]
            meaning = unmarked if code is None else meanings[code]
            text = fields[value_at]
            note = None if note_at is None else fields[note_at].strip() or None
            if type(meaning) is MarkAs:
                glucose, held, raw_unit = measured(fields)
                mark, after, more = meaning.mark, meaning.minutes_after, None
                if beside is not None:
                    mark, after, note, more = beside(fields, meaning, note, offset)
                elif offset is not None:
                    more = by_offset.get(offset) or by_offset.setdefault(offset, More(offset))
                rows.append(
                    ReadingRow(line, wall, precision, raw_wall, text, raw_unit, code, note, held,
                               glucose, mark, after, more)
                )  # fmt: skip
            elif type(meaning) is DoseAs:
                amount, unit = amounts[text], meaning.unit
                rows.append(
                    DoseRow(line, wall, precision, raw_wall, text, unit, code, note, None,
                            meaning.what, amount, unit, meaning.kind)
                )  # fmt: skip
            elif type(meaning) is EventAs:
                rows.append(
                    EventRow(line, wall, precision, raw_wall, text, None, code, note, None,
                             meaning.kind, meaning.level, meaning.text)
                )  # fmt: skip
            elif type(meaning) is ControlAs:
                glucose, held, raw_unit = measured(fields)
                rows.append(
                    ControlRow(line, wall, precision, raw_wall, text, raw_unit, code, note, held,
                               glucose, meaning.level)
                )  # fmt: skip
        except RowRefused as refused:
            if any(map(str.strip, fields)):
                problems.append(problem_at(line, sheet.delimiter.join(fields), str(refused)))
    problems.sort(key=lambda problem: problem.line)
    return rows, problems


class _Meanings(dict[str, Meaning]):
    """The meaning of each code text; an unknown code, or one left out, raises `RowRefused`."""

    def __init__(self, codes: Mapping[str, Meaning]) -> None:
        super().__init__()
        self._codes = codes

    def __missing__(self, text: str) -> Meaning:
        meaning = self._codes.get(text.strip())
        if meaning is None:
            raise RowRefused(f'the code "{text.strip()[:40]}" is not in the recipe')
        if isinstance(meaning, LeftOut):
            raise RowRefused(f"left out by the recipe: {meaning.why}")
        self[text] = meaning
        return meaning


def _measured(columns: Columns, readers: Readers) -> Callable[[list[str]], Measured]:
    value_at, unit_at = columns.at["value"], columns.at.get("unit")
    values, by_unit = readers.values, readers.values_by_unit
    if unit_at is None:
        return _in_one_unit(values, value_at)
    return lambda fields: by_unit[fields[unit_at]][fields[value_at]]


def _in_one_unit(values: Values, value_at: int) -> Callable[[list[str]], Measured]:
    return lambda fields: values[fields[value_at]]


def _fitted(fields: list[str], width: int) -> list[str]:
    """Fields without the empty ones that delimiters at the end of a line make."""
    if len(fields) > width and not any(map(str.strip, fields[width:])):
        return fields[:width]
    raise RowRefused(f"the row has {len(fields)} fields where {width} belong")
