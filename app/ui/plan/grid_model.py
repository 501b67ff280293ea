"""The grid of slots and days as a table: what stands in each cell, as signs and in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from app.domain.written import Span
from app.review.plan import GridRow, PlanGrid
from app.review.schedule import Planned
from app.statistics.schedule.settle import DOUBLED, OPEN
from app.ui.plan.reading import PlanRead
from app.ui.plan.signs import Sign, sign_of
from app.ui.plan.words import count_text, many, state_text, tr
from app.ui.reading_words import mark_name
from app.ui.words import clock_words, count_words, date_words, joined

CELL_ROLE = int(Qt.ItemDataRole.UserRole) + 1
_MOST_SIGNS = 2  # more in one cell are told as numbers

_Index = QModelIndex | QPersistentModelIndex


@dataclass(frozen=True, slots=True)
class GridCell:
    """One cell: signs to paint or a short text, and everything in words."""

    words: str
    signs: tuple[Sign, ...] = ()
    text: str = ""
    tests: tuple[Planned, ...] = ()
    strong: bool = False
    is_span: bool = False


class GridModel(QAbstractTableModel):
    """Rows are slots and named days, columns the name, the days and what was kept."""

    def __init__(self) -> None:
        super().__init__()
        self._read: PlanRead | None = None
        self._cells: list[list[GridCell]] = []
        self._days: list[date] = []

    @property
    def days(self) -> Sequence[date]:
        """The days of the columns."""
        return self._days

    @property
    def today(self) -> date | None:
        """The day that it is."""
        return None if self._read is None else self._read.grid.today

    def show_plan(self, read: PlanRead) -> None:
        """Show what was read."""
        self.beginResetModel()
        self._read = read
        first = read.grid.period.first
        self._days = [first + timedelta(days=each) for each in range(read.grid.period.days)]
        rows = [self._row(row, read) for row in _worth_showing(read.grid)]
        self._cells = [*rows, *(self._span_row(kind, read) for kind in _kinds(read.spans))]
        self.endResetModel()

    def column_of(self, day: date) -> int | None:
        """The column of a day; None where it is not shown."""
        return 1 + self._days.index(day) if day in self._days else None

    def day_at(self, column: int) -> date | None:
        """The day of a column; None for the first and the last."""
        return self._days[column - 1] if 0 < column <= len(self._days) else None

    def cell(self, index: _Index) -> GridCell:
        """The cell at an index."""
        return self._cells[index.row()][index.column()]

    def rowCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008  (Qt's own default)
        return 0 if parent.isValid() else len(self._cells)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() or not self._days else len(self._days) + 2

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        cell = self.cell(index)
        if role == CELL_ROLE:
            return cell
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return cell.words
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        if role != Qt.ItemDataRole.DisplayRole or orientation is not Qt.Orientation.Horizontal:
            return None
        day = self.day_at(section)
        if day is None or self._read is None:
            return tr("Kept of planned") if section else tr("Test")
        return date_words(day, self._read.grid.today, self._read.record.person)

    def _row(self, row: GridRow, read: PlanRead) -> list[GridCell]:
        name = mark_name(row.mark) if row.mark else tr("any time")
        person, today = read.record.person, read.grid.today
        cells = [GridCell(name, text=name)]
        for day, tests, extra in zip(self._days, row.cells, row.extras, strict=True):
            shown = tuple(each for each in tests if each.settled.why != DOUBLED)
            signs = tuple(sign for each in shown if (sign := sign_of(each)) is not None)
            said = [
                f"{clock_words(each.wall, person)} {state_text(each, person)}" for each in shown
            ]
            if extra:
                said.append(many(extra, "{n} test more than planned", "{n} more than planned"))
                signs = signs or (Sign.EXTRA,)
            text = ""
            if len(signs) > _MOST_SIGNS:
                done = sum(sign in (Sign.DONE, Sign.LATE, Sign.ELSEWHERE) for sign in signs)
                text, signs = f"{count_words(done)}/{count_words(len(signs))}", ()
            when = date_words(day, today, person)
            words = joined((f"{when}, {name}", *(said or [tr("nothing planned")])))
            cells.append(GridCell(words, signs, text, shown))
        still_open = any(each.settled.state in OPEN for tests in row.cells for each in tests)
        kept = count_text(row.count, to_come=still_open)
        strong = row.count is not None
        cells.append(GridCell(joined((name, kept)), text=kept, strong=strong))
        return cells

    def _span_row(self, kind: str, read: PlanRead) -> list[GridCell]:
        name = tr(kind.replace("_", " "))
        person, today = read.record.person, read.grid.today
        cells = [GridCell(name, text=name, is_span=True)]
        for day in self._days:
            held = any(span.kind == kind and span.covers(day.toordinal()) for span in read.spans)
            when = date_words(day, today, person)
            words = joined((f"{when}, {name}",)) if held else when
            cells.append(GridCell(words, text="~" if held else "", is_span=True))
        return [*cells, GridCell(name, is_span=True)]


def _worth_showing(grid: PlanGrid) -> list[GridRow]:
    """Every slot, and of the other marks those that were planned."""
    return [row for row in grid.rows if row.mark is not None or any(row.cells)]


def _kinds(spans: Sequence[Span]) -> list[str]:
    return list(dict.fromkeys(span.kind for span in spans if span.kind != "set_aside"))
