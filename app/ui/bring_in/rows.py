"""The rows of a picked file as a table: as written, as read, and what becomes of each."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.domain.person import Person
from app.ui.bring_in.words import mark_of, result_words, tr, value_words, wall_of, why_words
from app.ui.reading_words import DASH
from app.ui.words import clock_words, count_words, date_words
from app.work.picked import ALREADY, ASKED, HELD, REFUSED, RowLine

FIRST_AND_WORST, ALL, PROBLEMS, TO_ANSWER = "first", "all", "problems", "asked"
FIRST, WORST = 5, 300  # rows of the preview
_WORSE = (ASKED, REFUSED, HELD)
_Index = QModelIndex | QPersistentModelIndex
_NO_INDEX = QModelIndex()
_LONGEST = 400  # letters of a line that are shown


class Column(IntEnum):
    """The columns, from the leading side."""

    LINE = 0
    WRITTEN = 1
    READ = 2
    VALUE = 3
    MARK = 4
    RESULT = 5
    WHY = 6


class RowsModel(QAbstractTableModel):
    """The rows of the file that are wanted. Texts are made as they are seen."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._lines: Sequence[str] = ()
        self._all: Sequence[RowLine] = ()
        self._rows: Sequence[RowLine] = ()
        self._person: Person | None = None
        self._today = date.min

    def show(
        self,
        lines: Sequence[str],
        rows: Sequence[RowLine],
        person: Person,
        today: date,
        *,
        wanted: str = ALL,
    ) -> None:
        """Show rows of a file whose physical lines are given."""
        self.beginResetModel()
        self._lines, self._all, self._person, self._today = lines, rows, person, today
        self._rows = _wanted(rows, wanted)
        self.endResetModel()

    def want(self, wanted: str) -> None:
        """Show other rows of the same file."""
        self.beginResetModel()
        self._rows = _wanted(self._all, wanted)
        self.endResetModel()

    @property
    def is_raw(self) -> bool:
        """Whether nothing was read yet: the lines alone are shown."""
        return bool(self._rows) and not self._rows[0].result

    def line(self, row: int) -> RowLine:
        """The row of the file that stands in a row of the table."""
        return self._rows[row]

    def row_of(self, line: int) -> int | None:
        """Where a line of the file stands, or None where it is not shown."""
        return next((at for at, each in enumerate(self._rows) if each.line == line), None)

    def is_trouble(self, row: int) -> bool:
        """Whether a row is not taken as it stands."""
        return self._rows[row].result in _WORSE

    def is_quiet(self, row: int) -> bool:
        """Whether nothing happens with a row."""
        return self._rows[row].result == ALREADY

    def cell(self, row: int, column: Column) -> str:
        """The text of a cell."""
        line = self._rows[row]
        if column is Column.LINE:
            return count_words(line.line)
        if column is Column.WRITTEN:
            at = line.line - 1
            text = self._lines[at] if at < len(self._lines) else ""
            return " ".join(text[:_LONGEST].replace("\t", " → ").split())
        if column is Column.RESULT:
            return result_words(line.result)
        if column is Column.WHY:
            return why_words(line)
        if not line.result:
            return ""
        if column is Column.MARK:
            return mark_of(line.row)
        if column is Column.VALUE:
            return " ".join(value_words(line.row)).strip()
        wall = wall_of(line)
        if wall is None or self._person is None:
            return DASH
        return f"{date_words(wall.date(), self._today, self._person)} " + clock_words(
            wall, self._person
        )

    def head(self, column: Column) -> str:
        """The title of a column."""
        return {
            Column.LINE: tr("Line"),
            Column.WRITTEN: tr("As written in the file"),
            Column.READ: tr("Read as"),
            Column.VALUE: tr("Value"),
            Column.MARK: tr("Mark"),
            Column.RESULT: tr("Result"),
            Column.WHY: tr("Why"),
        }[column]

    # Qt's own, from here on.

    def rowCount(self, parent: _Index = _NO_INDEX) -> int:
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: _Index = _NO_INDEX) -> int:
        return 0 if parent.isValid() else len(Column)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        row, column = index.row(), Column(index.column())
        if role == Qt.ItemDataRole.DisplayRole:
            return self.cell(row, column)
        if role == Qt.ItemDataRole.ToolTipRole and column in (Column.WRITTEN, Column.WHY):
            return self.cell(row, column)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if is_number(column) else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(Column):
            return None
        return self.head(Column(section)) if role == Qt.ItemDataRole.DisplayRole else None


def is_number(column: Column) -> bool:
    """Whether a column holds numbers, which stand at its far side."""
    return column in (Column.LINE, Column.VALUE)


def _wanted(rows: Sequence[RowLine], wanted: str) -> Sequence[RowLine]:
    if wanted == ALL:
        return rows
    if wanted == TO_ANSWER:
        return [each for each in rows if each.result == ASKED]
    worst = [each for each in rows[FIRST:] if each.result in _WORSE]
    if wanted == PROBLEMS:
        return [each for each in rows if each.result in _WORSE]
    worst.sort(key=lambda each: (_WORSE.index(each.result), each.line))
    return [*rows[:FIRST], *worst[:WORST]]
