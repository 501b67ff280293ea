"""The readings of one day as a table, the newest first."""

from __future__ import annotations

from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.domain.person import Person
from app.look.marks import MarkLook
from app.review.day import DayView
from app.review.day_rows import DayRow
from app.ui.day.words import tr
from app.ui.reading_words import (
    differences,
    kit_words,
    letters_of,
    level_name,
    look_of,
    reading_line,
    row_mark_words,
    time_words,
)
from app.ui.words import joined, number_words

_Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()


class Column(IntEnum):
    """The columns, from the leading side on."""

    TIME = 0
    VALUE = 1
    SIGN = 2
    MARK = 3
    NOTE = 4
    METER = 5
    KEEPER = 6


class DayTableModel(QAbstractTableModel):
    """Rows of one day; it holds no rules and asks no database."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[DayRow, ...] = ()
        self._person: Person | None = None

    def show_day(self, view: DayView) -> None:
        """Show another day, or the same one anew."""
        self.beginResetModel()
        self._rows, self._person = view.rows, view.person
        self.endResetModel()

    def row(self, at: int) -> DayRow:
        """The reading of a row."""
        return self._rows[at]

    def row_of(self, reading_id: int) -> int | None:
        """The row of a reading by its local id."""
        return next((at for at, row in enumerate(self._rows) if row.id == reading_id), None)

    def look(self, at: int) -> MarkLook | None:
        """The mark of a row."""
        return look_of(self._rows[at])

    def text(self, at: int, column: Column) -> str:
        """What stands in a cell."""
        row, person = self._rows[at], self._person
        if person is None:
            return ""
        if column is Column.TIME:
            return time_words(row, person)
        if column is Column.VALUE:
            return number_words(row.glucose.shown(person.unit))
        if column is Column.SIGN:
            return letters_of(row)
        if column is Column.MARK:
            return joined([row_mark_words(row), *differences(row)])
        if column is Column.NOTE:
            return joined([row.note or "", *(f"#{tag}" for tag in row.tags)])
        return kit_words(row) if column is Column.METER else row.keeper or ""

    def rowCount(self, parent: _Index = _NOWHERE) -> int:
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: _Index = _NOWHERE) -> int:
        return 0 if parent.isValid() else len(Column)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        at, column = index.row(), Column(index.column())
        if role == Qt.ItemDataRole.DisplayRole:
            return self.text(at, column)
        if role == Qt.ItemDataRole.ToolTipRole and self._person is not None:
            return reading_line(self._rows[at], self._person, self._rows[at].wall.date())
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self._spoken(at, column)
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            at_end = section == Column.VALUE
            side = Qt.AlignmentFlag.AlignTrailing if at_end else Qt.AlignmentFlag.AlignLeading
            return side | Qt.AlignmentFlag.AlignVCenter
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        unit = self._person.unit.value if self._person else ""
        heads = {
            Column.TIME: tr("Time"),
            Column.VALUE: unit,
            Column.SIGN: "",
            Column.MARK: tr("Mark"),
            Column.NOTE: tr("Note"),
            Column.METER: tr("Meter, vial"),
            Column.KEEPER: tr("Keeper"),
        }
        return heads[Column(section)]

    def _spoken(self, at: int, column: Column) -> str:
        """A cell as it is read out: a sign by its meaning, a number with its unit."""
        row = self._rows[at]
        if column is Column.VALUE and self._person is not None:
            return f"{self.text(at, column)} {self._person.unit}"
        if column is Column.SIGN and row.level is not None:
            return level_name(row.level)
        return self.text(at, column)
