"""All readings of a person as columns ready for a table: filtered and sorted by whole arrays."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import Period
from app.domain.glucose import MG_DL_PER_MMOL_L, Bound, Unit
from app.domain.glucose import shown as digits
from app.domain.levels import Level
from app.domain.marks import MARKS, Mark
from app.domain.reading import STANDINGS, Standing
from app.review.counted import Counted
from app.review.marks_drawn import LEVELS, levels_of
from app.store.beside import Beside
from app.store.columns import ABOVE, BELOW, EXACT, MMOL_L, NO_VALUE, Columns

NO_LEVEL = len(LEVELS)
BOUNDS = {BELOW: Bound.BELOW, EXACT: Bound.EXACT, ABOVE: Bound.ABOVE, NO_VALUE: Bound.NO_VALUE}
COUNTED = STANDINGS.index(Standing.COUNTED)

Rows = NDArray[np.int64]  # places in the columns
_Mask = NDArray[np.bool_]
_Numbers = NDArray[np.float64]
_Names = dict[int, str]


class Which(StrEnum):
    """How readings stand, for a filter."""

    DOUBTFUL = "doubtful"
    SET_ASIDE = "set_aside"
    NOT_MINE = "not_mine"
    APART = "apart"  # set aside or not mine


class SortBy(StrEnum):
    """What rows can be put in order by."""

    DAY = "day"
    TIME = "time"
    VALUE = "value"
    LEVEL = "level"
    MARK = "mark"
    STANDING = "standing"
    METER = "meter"
    NOTE = "note"
    KEEPER = "keeper"


@dataclass(frozen=True, slots=True)
class Wanted:
    """A filter; what is None or empty lets everything through."""

    period: Period | None = None
    mark: Mark | None = None
    level: Level | None = None
    which: Which | None = None
    meter: int | None = None
    keeper: int | None = None
    words: str = ""

    @property
    def filters(self) -> bool:
        """Whether it leaves out anything besides other days."""
        return self != Wanted(period=self.period)


@dataclass(frozen=True, slots=True)
class ReadingsTable:
    """Every dated reading, one entry for each in every array, the oldest first.

    `value` is in `unit`, as entered where that is the same; of a result off the scale its limit,
    and 0 where there is no number. `ordered` puts those off the scale at the ends. `level` are
    places in `LEVELS`, `NO_LEVEL` where there is no value.
    """

    columns: Columns
    unit: Unit
    value: _Numbers
    ordered: _Numbers
    level: NDArray[np.int8]

    def shown(self, row: int) -> str:
        """The value as a person reads it: "5.6", "<20", "HI"."""
        bound, value = int(self.columns.bound[row]), float(self.value[row])
        if bound == NO_VALUE:
            return ""
        if value > 0:
            return {BELOW: "<", ABOVE: ">"}.get(bound, "") + digits(value, self.unit)
        return "LO" if bound == BELOW else "HI"


@dataclass(frozen=True, slots=True)
class TableCounts:
    """What the rows of a table hold; `n` are all of them, on so many days."""

    n: int
    days: int
    doubtful: int
    set_aside: int
    not_mine: int
    unmarked: int


def readings_table(columns: Columns, unit: Unit) -> ReadingsTable:
    """Make the columns ready for a table in the person's unit."""
    value = columns.mg_dl
    if unit is Unit.MMOL_L:
        value = np.where(columns.unit == MMOL_L, columns.entered, value / MG_DL_PER_MMOL_L)
    # Limits are pairs: for its level each reading is compared in the unit it was entered in.
    entered = _beyond(columns.entered, columns.bound)
    level = levels_of(Counted(columns, values=value, ordered=entered, unit=unit))
    level[columns.bound == NO_VALUE] = NO_LEVEL
    return ReadingsTable(
        columns=columns,
        unit=unit,
        value=value,
        ordered=_beyond(value, columns.bound),
        level=level,
    )


def rows_wanted(table: ReadingsTable, wanted: Wanted, beside: Beside) -> Rows:
    """The rows that a filter lets through, the oldest first."""
    columns = table.columns
    chosen = np.ones(len(columns), dtype=np.bool_)
    if wanted.period is not None:
        first, last = wanted.period.first.toordinal(), wanted.period.last.toordinal()
        chosen &= (columns.day >= first) & (columns.day <= last)
    if wanted.mark is not None:
        chosen &= columns.mark == MARKS.index(wanted.mark)
    if wanted.level is not None:
        chosen &= table.level == LEVELS.index(wanted.level)
    if wanted.which is not None:
        chosen &= _standing(columns, wanted.which)
    if wanted.meter is not None:
        chosen &= columns.meter == wanted.meter
    if wanted.keeper is not None:
        chosen &= columns.keeper == wanted.keeper
    if wanted.words.strip():
        chosen &= np.isin(columns.id, _saying(wanted.words, beside))
    return np.flatnonzero(chosen)


def rows_sorted(
    table: ReadingsTable, rows: Rows, beside: Beside, *, by: SortBy, descending: bool
) -> Rows:
    """Rows in another order; those that are alike stand with the newest first.

    Parameters
    ----------
    rows : ndarray of int, shape (n,)
        Places in the columns, the oldest first, as `rows_wanted` gives them.
    """
    if by is SortBy.DAY:  # the columns are in the order of time already
        return rows[::-1] if descending else rows
    newest_first = rows[::-1]
    key = _KEYS[by](table, beside)[newest_first]
    return np.asarray(newest_first[np.argsort(-key if descending else key, kind="stable")])


def counts_of(table: ReadingsTable, rows: Rows) -> TableCounts:
    """Count what rows hold."""
    columns = table.columns
    standing = columns.standing[rows]
    return TableCounts(
        n=int(rows.size),
        days=int(np.unique(columns.day[rows]).size),
        doubtful=_how_many((columns.doubt[rows] != 0) & (standing == COUNTED)),
        set_aside=_how_many(standing == STANDINGS.index(Standing.SET_ASIDE)),
        not_mine=_how_many(standing == STANDINGS.index(Standing.NOT_MINE)),
        unmarked=_how_many((columns.mark[rows] == MARKS.index(Mark.NONE)) & (standing == COUNTED)),
    )


def names_used(ids: NDArray[np.int32], names: Mapping[int, str]) -> dict[int, str]:
    """Of some names by local id those that a column refers to, in the order of the alphabet."""
    used = np.flatnonzero(np.bincount(ids)).tolist()  # many times quicker than a sort
    found = [each for each in used if each in names]
    return {each: names[each] for each in sorted(found, key=lambda one: names[one].casefold())}


def day_of(table: ReadingsTable, row_id: int) -> date | None:
    """The diary day of a reading by its local id, or None where it is not among them."""
    places = np.flatnonzero(table.columns.id == row_id)
    return date.fromordinal(int(table.columns.day[places[0]])) if places.size else None


def _beyond(value: _Numbers, bound: NDArray[np.int8]) -> _Numbers:
    """Values with those off the scale just beyond their limit, or infinite where it is unknown."""
    if (bound == EXACT).all():
        return value
    known = value > 0
    below = np.where(known, np.nextafter(value, -np.inf), -np.inf)
    above = np.where(known, np.nextafter(value, np.inf), np.inf)
    return np.select([bound == BELOW, bound == ABOVE], [below, above], value)


def _standing(columns: Columns, which: Which) -> _Mask:
    if which is Which.DOUBTFUL:
        return np.asarray(columns.doubt != 0)
    if which is Which.APART:
        return np.asarray(columns.standing != COUNTED)
    return np.asarray(columns.standing == STANDINGS.index(Standing(which.value)))


def _saying(words: str, beside: Beside) -> NDArray[np.int64]:
    """The ids of readings whose note, tags or reason hold the words, whatever their case."""
    sought = words.strip().casefold()
    found = [row for row, text in beside.note.items() if sought in text.casefold()]
    found += [row for row, why in beside.why.items() if sought in why.casefold()]
    found += [
        row
        for row, labels in beside.tags.items()
        if any(sought in label.casefold() for label in labels)
    ]
    return np.array(found, dtype=np.int64)


def _ranks(ids: NDArray[np.int32], names: _Names) -> NDArray[np.int64]:
    """Where each id's name stands in the alphabet; 0 for no name."""
    if not names:
        return np.zeros(ids.size, dtype=np.int64)
    ordered = sorted(names, key=lambda one: names[one].casefold())
    rank = np.zeros(max(int(ids.max(initial=0)), *ordered) + 1, dtype=np.int64)
    rank[ordered] = np.arange(1, len(ordered) + 1)
    return np.asarray(rank[ids])


def _note_ranks(table: ReadingsTable, beside: Beside) -> NDArray[np.int64]:
    """Where each note stands in the alphabet; those without one stand last."""
    ids = table.columns.id
    rank = np.full(ids.size, len(beside.note), dtype=np.int64)
    by_id = np.argsort(ids, kind="stable")
    for place, row in enumerate(sorted(beside.note, key=lambda one: beside.note[one].casefold())):
        at = int(np.searchsorted(ids, row, sorter=by_id))
        if at < ids.size and ids[by_id[at]] == row:
            rank[by_id[at]] = place
    return rank


def _how_many(chosen: _Mask) -> int:
    return int(np.count_nonzero(chosen))


_KEYS: dict[SortBy, Callable[[ReadingsTable, Beside], NDArray[Any]]] = {
    SortBy.TIME: lambda table, _: table.columns.minute,
    SortBy.VALUE: lambda table, _: table.ordered,
    SortBy.LEVEL: lambda table, _: table.level,
    SortBy.MARK: lambda table, _: table.columns.mark,
    SortBy.STANDING: lambda table, _: -(2 * table.columns.standing + (table.columns.doubt != 0)),
    SortBy.METER: lambda table, beside: (
        _ranks(table.columns.meter, beside.meters) * (len(beside.vials) + 1)
        + _ranks(table.columns.vial, beside.vials)
    ),
    SortBy.NOTE: _note_ranks,
    SortBy.KEEPER: lambda table, beside: _ranks(table.columns.keeper, beside.keepers),
}
