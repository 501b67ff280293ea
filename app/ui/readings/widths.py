"""How wide the columns of the table are: from their texts, without reading every row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta

import numpy as np

from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.review.table import COUNTED, ReadingsTable, Rows, names_used
from app.store.beside import Beside
from app.ui.reading_words import mark_words
from app.ui.readings.line import LineWriter
from app.ui.readings.model import Column
from app.ui.words import clock_words, date_words, number_words

# What gives way first where the page is narrow; what is folded away is in the tip of the row.
FOLDS = (Column.KEEPER, Column.NOTE, Column.KIT, Column.ODD)
_WIDEST_VALUE = {Unit.MG_DL: "<888", Unit.MMOL_L: "<88.8"}
_YEAR = 365
_LOOKED_AT = 60  # rows: those from longer ago are cut, and whole in their tips


def column_texts(writer: LineWriter, rows: Rows) -> dict[Column, list[str]]:
    """The widest texts of each column; none for a column that has nothing to say in any reading."""
    table, beside, person, today = writer.table, writer.beside, writer.person, writer.today
    columns = table.columns
    days = [date(today.year, 1, 1) + timedelta(days=after) for after in range(0, _YEAR, 5)]
    held = columns.day[rows]
    if held.size and date.fromordinal(int(held.min())).year < today.year:
        days += [day.replace(year=today.year - 1) for day in days]
    hours = [datetime(2026, 1, 1, hour, 58) for hour in range(24)]  # noqa: DTZ001 - a wall time
    marks = [mark_words(mark) for mark in Mark]
    if (columns.after_min[rows] >= 0).any():
        marks += [mark_words(mark, 120, short=True) for mark in Mark]
    meters = names_used(columns.meter, beside.meters).values()
    vials = list(names_used(columns.vial, beside.vials).values())
    told = list({*beside.note, *beside.tags})
    noted = bool(told) and bool(np.isin(columns.id[rows], told).any())
    return {
        Column.DAY: [date_words(day, today, person) for day in days],
        Column.TIME: [clock_words(hour, person) for hour in hours],
        Column.VALUE: [number_words(_WIDEST_VALUE[table.unit]), str(table.unit)],
        Column.SIGN: ["HH ?"],
        Column.MARK: marks,
        Column.ODD: [f"?  {writer.odd(int(row))}" for row in _odd_rows(table, rows, beside)]
        or [" "],
        Column.KIT: [f"{meter} {vial}" for meter in meters for vial in vials or [""]],
        Column.NOTE: ["m" * 30] if noted else [" "],
        Column.KEEPER: list(names_used(columns.keeper, beside.keepers).values()),
    }


def fitted(
    room: int, needed: Mapping[Column, tuple[int, int]], *, folds: Sequence[Column] = FOLDS
) -> dict[Column, int]:
    """The columns that fit into a room, and their widths, which fill it.

    Parameters
    ----------
    room : int
        The width there is, px.
    needed : mapping
        Of each column that may be shown, the least width and the one it would like.
    folds : sequence of Column
        What is left out first, second ... until the rest fits.
    """
    shown = [column for column in Column if column in needed]
    least = {column: needed[column][0] for column in shown}
    least[Column.MARK] = needed[Column.MARK][1]  # whole marks come before folded columns
    for fold in folds:
        if sum(least[column] for column in shown) <= room:
            break
        if fold in shown:
            shown.remove(fold)
    over = sum(least[column] for column in shown) - room
    least[Column.MARK] -= max(0, min(over, needed[Column.MARK][1] - needed[Column.MARK][0]))
    widths = {column: least[column] for column in shown}
    spare = room - sum(widths.values())
    for column in sorted(shown, key=lambda one: one is Column.NOTE):  # a note takes what is left
        more = max(0, min(spare, needed[column][1] - widths[column]))
        widths[column] += more
        spare -= more
    stretched = Column.NOTE if Column.NOTE in widths else shown[-1]
    widths[stretched] += max(0, spare)
    return widths


def _odd_rows(table: ReadingsTable, rows: Rows, beside: Beside) -> Rows:
    """The newest of the rows about which something is out of the ordinary."""
    columns = table.columns
    told = [*beside.why, *beside.time_state, *beside.later]
    is_odd = (columns.doubt[rows] != 0) | (columns.standing[rows] != COUNTED)
    if told:
        is_odd |= np.isin(columns.id[rows], told)
    return np.sort(rows[is_odd])[-_LOOKED_AT:]
