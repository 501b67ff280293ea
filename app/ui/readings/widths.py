"""How wide the columns of the table are: from their texts, without reading every row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Standing
from app.review.table import ReadingsTable, Rows
from app.store.beside import Beside
from app.ui.now.words import clock_words, date_words, number_words
from app.ui.readings.line import mark_name, standing_name, tr
from app.ui.readings.model import Column

# What gives way first where the page is narrow; what is folded away is in the tip of the row.
FOLDS = (Column.KEEPER, Column.NOTE, Column.KIT, Column.ODD)
_WIDEST_VALUE = {Unit.MG_DL: "<888", Unit.MMOL_L: "<88.8"}
_YEAR = 365
_REASONS, _REASON = 50, 30  # so many reasons widen their column, up to so many letters


def column_texts(
    table: ReadingsTable, rows: Rows, beside: Beside, person: Person, today: date
) -> dict[Column, list[str]]:
    """The widest texts of each column; none for a column that has nothing to say in any row."""
    columns = table.columns
    days = [date(today.year, 1, 1) + timedelta(days=after) for after in range(0, _YEAR, 5)]
    held = columns.day[rows]
    if held.size and date.fromordinal(int(held.min())).year < today.year:
        days += [day.replace(year=today.year - 1) for day in days]
    hours = [datetime(2026, 1, 1, hour, 58) for hour in range(24)]  # noqa: DTZ001 - a wall time
    marks = [mark_name(mark) for mark in Mark]
    if (columns.after_min >= 0).any():
        longest = tr("{mark}, {minutes} min")
        marks += [longest.format(mark=name, minutes=number_words("120")) for name in marks]
    noted = np.isin(columns.id[rows], list({*beside.note, *beside.tags})).any()
    aside = standing_name(Standing.SET_ASIDE)
    reasons = [f"{aside} · {why[:_REASON]}" for why in list(set(beside.why.values()))[:_REASONS]]
    meters, vials = _named(columns.meter, beside.meters), _named(columns.vial, beside.vials)
    return {
        Column.DAY: [date_words(day, today, person) for day in days],
        Column.TIME: [clock_words(hour, person) for hour in hours],
        Column.VALUE: [number_words(_WIDEST_VALUE[table.unit]), str(table.unit)],
        Column.SIGN: ["HH ?"],
        Column.MARK: marks,
        Column.ODD: [f"{standing_name(Standing.NOT_MINE)} · {tr('in no figure')}", *reasons],
        Column.KIT: [f"{meter} {vial}" for meter in meters for vial in vials or [""]],
        Column.NOTE: ["m" * 30] if noted else [" "],
        Column.KEEPER: _named(columns.keeper, beside.keepers),
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
    for fold in folds:
        if sum(needed[column][0] for column in shown) <= room:
            break
        if fold in shown:
            shown.remove(fold)
    widths = {column: needed[column][0] for column in shown}
    spare = room - sum(widths.values())
    for column in sorted(shown, key=lambda one: one is Column.NOTE):  # a note takes what is left
        more = max(0, min(spare, needed[column][1] - widths[column]))
        widths[column] += more
        spare -= more
    stretched = Column.NOTE if Column.NOTE in widths else shown[-1]
    widths[stretched] += max(0, spare)
    return widths


def _named(ids: NDArray[np.int32], names: Mapping[int, str]) -> list[str]:
    return [names[each] for each in np.unique(ids).tolist() if each in names]
