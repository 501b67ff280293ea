"""The rows of the table over the columns of all readings, filtered and sorted by whole arrays."""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum

import numpy as np
from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.review.table import ReadingsTable, Rows, SortBy, Wanted, rows_sorted, rows_wanted
from app.ui.readings.line import Line, LineWriter

_Index = QModelIndex | QPersistentModelIndex
_NO_INDEX = QModelIndex()
_KEPT_LINES = 400  # what is seen and what was just seen

LINE_ROLE = Qt.ItemDataRole.UserRole
ID_ROLE = Qt.ItemDataRole.UserRole + 1


class Column(IntEnum):
    """The columns from the leading side on."""

    DAY = 0
    TIME = 1
    VALUE = 2
    SIGN = 3
    MARK = 4
    ODD = 5
    KIT = 6
    NOTE = 7
    KEEPER = 8


SORTS = {
    Column.DAY: SortBy.DAY,
    Column.TIME: SortBy.TIME,
    Column.VALUE: SortBy.VALUE,
    Column.SIGN: SortBy.LEVEL,
    Column.MARK: SortBy.MARK,
    Column.ODD: SortBy.STANDING,
    Column.KIT: SortBy.METER,
    Column.NOTE: SortBy.NOTE,
    Column.KEEPER: SortBy.KEEPER,
}
# What a first click asks for: the newest, the highest, what is most out of the ordinary.
_FALLS_FIRST = (Column.DAY, Column.VALUE, Column.SIGN)
_AT_END = Qt.AlignmentFlag.AlignTrailing | Qt.AlignmentFlag.AlignVCenter
_AT_START = Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignVCenter


class ReadingsModel(QAbstractTableModel):
    """All readings that a filter lets through, in the order asked for.

    `LINE_ROLE` gives the whole `Line` of a row, `ID_ROLE` the reading's local id.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._writer: LineWriter | None = None
        self._rows: Rows = np.empty(0, dtype=np.int64)
        self._wanted = Wanted()
        self._column, self._falls = Column.DAY, True
        self._lines: dict[int, Line] = {}

    @property
    def table(self) -> ReadingsTable | None:
        """The readings that rows are taken from; None before there are any."""
        return None if self._writer is None else self._writer.table

    @property
    def rows(self) -> Rows:
        """The places in the columns that are shown, in the order shown."""
        return self._rows

    @property
    def sorted_by(self) -> tuple[Column, bool]:
        """The column that orders the rows, and whether from the largest down."""
        return self._column, self._falls

    @property
    def names_days_once(self) -> bool:
        """Whether rows of one day stand together, so that the day is named in the first alone."""
        return self._column is Column.DAY

    def show(self, writer: LineWriter, wanted: Wanted) -> bool:
        """Show the readings that a filter lets through; whether they are others than before.

        Where they are the very same, selection and place stay.
        """
        before = self.ids()
        self._writer, self._wanted = writer, wanted
        rows = self._found()
        if before.size and np.array_equal(before, writer.table.columns.id[rows]):
            self._rows = rows
            self._lines.clear()
            last = self.index(len(rows) - 1, len(Column) - 1)
            self.dataChanged.emit(self.index(0, 0), last)
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(Column) - 1)
            return False
        self.beginResetModel()
        self._rows = rows
        self._lines.clear()
        self.endResetModel()
        return True

    def line(self, row: int) -> Line:
        """The row in words and signs."""
        if self._writer is None:
            raise IndexError(f"the table is empty: row={row}")
        found = self._lines.get(row)
        if found is None:
            if len(self._lines) >= _KEPT_LINES:
                self._lines.clear()
            found = self._lines[row] = self._writer.write(int(self._rows[row]))
        return found

    def cell(self, row: int, column: Column) -> str:
        """What a cell says."""
        line = self.line(row)
        if column is Column.DAY:
            return line.day if self.begins_day(row) or not self.names_days_once else ""
        if column is Column.SIGN:
            return "" if line.look is None else line.look.letters
        return str(getattr(line, _FIELDS[column]))

    def begins_day(self, row: int) -> bool:
        """Whether a row is the first of its day, where the days stand together."""
        if self._writer is None or not self.names_days_once:
            return False
        days = self._writer.table.columns.day
        return row == 0 or bool(days[self._rows[row]] != days[self._rows[row - 1]])

    def head(self, column: Column) -> str:
        """The title of a column."""
        unit = "" if self._writer is None else str(self._writer.table.unit)
        heads = {
            Column.DAY: self.tr("Day"),
            Column.TIME: self.tr("Time"),
            Column.VALUE: unit,
            Column.SIGN: "",
            Column.MARK: self.tr("Mark"),
            Column.ODD: self.tr("Standing"),
            Column.KIT: self.tr("Meter, vial"),
            Column.NOTE: self.tr("Note"),
            Column.KEEPER: self.tr("Keeper"),
        }
        return heads[column]

    def ids(self) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
        """The local ids of the readings shown, in the order shown."""
        return self._rows if self._writer is None else self._writer.table.columns.id[self._rows]

    def ids_at(self, rows: Iterable[int]) -> list[int]:
        """The local ids of some rows."""
        ids = self.ids()
        return [int(ids[row]) for row in rows]

    def row_of(self, row_id: int) -> int | None:
        """Where a reading stands, or None where it is not shown."""
        found = np.flatnonzero(self.ids() == row_id)
        return int(found[0]) if found.size else None

    def sort_next(self, column: Column) -> None:
        """Sort by a column; by the same again, the other way round."""
        falls = column in _FALLS_FIRST if column is not self._column else not self._falls
        descending = Qt.SortOrder.DescendingOrder if falls else Qt.SortOrder.AscendingOrder
        self.sort(column, descending)

    # Qt's own, from here on.

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        if column not in Column.__members__.values():
            return
        self.layoutAboutToBeChanged.emit()
        before = self._rows
        self._column, self._falls = Column(column), order is Qt.SortOrder.DescendingOrder
        self._rows = self._found()
        self._lines.clear()
        self._move_persistent(before)
        self.layoutChanged.emit()
        self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(Column) - 1)

    def rowCount(self, parent: _Index = _NO_INDEX) -> int:
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: _Index = _NO_INDEX) -> int:
        return 0 if parent.isValid() else len(Column)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        row, column = index.row(), index.column()
        if role == Qt.ItemDataRole.DisplayRole:
            return self.cell(row, Column(column))
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self._spoken(row, Column(column))
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _AT_END if column == Column.VALUE else _AT_START
        if role == Qt.ItemDataRole.ToolTipRole:
            return self.line(row).tip
        if role == LINE_ROLE:
            return self.line(row)
        if role == ID_ROLE:
            return self.line(row).id
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(Column):
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _AT_END if section == Column.VALUE else _AT_START
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        name = self.head(Column(section))
        is_default = self._column is Column.DAY and self._falls
        if section != self._column or is_default:
            return name
        return f"{name} {'↓' if self._falls else '↑'}"

    def _spoken(self, row: int, column: Column) -> str:
        line = self.line(row)
        if column is Column.DAY:
            return line.day
        if column is Column.VALUE and self._writer is not None:
            return f"{line.value} {self._writer.table.unit}"
        return line.sign if column is Column.SIGN else self.cell(row, column)

    def _found(self) -> Rows:
        if self._writer is None:
            return np.empty(0, dtype=np.int64)
        table, beside = self._writer.table, self._writer.beside
        rows = rows_wanted(table, self._wanted, beside)
        return rows_sorted(table, rows, beside, by=SORTS[self._column], descending=self._falls)

    def _move_persistent(self, before: Rows) -> None:
        held = self.persistentIndexList()
        if not held or not before.size:
            return
        place = np.empty(int(before.max()) + 1, dtype=np.int64)
        place[self._rows] = np.arange(self._rows.size)
        moved = place[before]
        self.changePersistentIndexList(
            held, [self.index(int(moved[one.row()]), one.column()) for one in held]
        )


_FIELDS = {
    Column.TIME: "time",
    Column.VALUE: "value",
    Column.MARK: "mark",
    Column.ODD: "odd",
    Column.KIT: "kit",
    Column.NOTE: "note",
    Column.KEEPER: "keeper",
}
