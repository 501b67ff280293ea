"""A small table of figures as a model: each cell says what it shows, and how it is set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from app.domain.levels import Level
from app.review.by_mark import MarkRow

CELL_ROLE = Qt.ItemDataRole.UserRole

_Index = QModelIndex | QPersistentModelIndex


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its text, a quieter one after it, and the words for an ear or a tip.

    `strip` is drawn in place of a text, and so is `bar`: shares of levels that add up to one.
    """

    text: str = ""
    quiet: str = ""
    said: str = ""
    ink: str = "ink"
    bold: bool = False
    at_end: bool = True
    strip: MarkRow | None = None
    bar: tuple[tuple[Level, float], ...] = ()

    @property
    def words(self) -> str:
        """What a screen reader says."""
        return self.said or f"{self.text} {self.quiet}".strip()


@dataclass(frozen=True, slots=True)
class Head:
    """The head of a column; a chosen column is shaded from top to bottom."""

    text: str
    said: str = ""
    at_end: bool = True
    chosen: bool = False
    centred: bool = False  # over cells that are centred; `at_end` then says nothing

    @property
    def words(self) -> str:
        """What a screen reader says."""
        return self.said or self.text


class Cells(QAbstractTableModel):
    """Cells in rows; `after_rule` names rows that begin another kind, below a stronger rule."""

    def __init__(self) -> None:
        super().__init__()
        self._heads: tuple[Head, ...] = ()
        self._rows: tuple[tuple[Cell, ...], ...] = ()
        self.after_rule: frozenset[int] = frozenset()

    def set_cells(
        self,
        heads: Sequence[Head],
        rows: Sequence[Sequence[Cell]],
        *,
        after_rule: Sequence[int] = (),
    ) -> None:
        """Show other cells; the table keeps its shape where it can, so that focus stays."""
        same = len(rows) == len(self._rows) and len(heads) == len(self._heads)
        if not same:
            self.beginResetModel()
        self._heads = tuple(heads)
        self._rows = tuple(tuple(row) for row in rows)
        self.after_rule = frozenset(after_rule)
        if not same:
            self.endResetModel()
        elif rows and heads:
            self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(heads) - 1))
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(heads) - 1)

    def cell(self, index: _Index) -> Cell:
        """The cell of an index."""
        return self._rows[index.row()][index.column()]

    def head(self, column: int) -> Head:
        """The head of a column."""
        return self._heads[column]

    def column_texts(self, column: int) -> list[Cell]:
        """All cells of a column."""
        return [row[column] for row in self._rows]

    def rowCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008  # Qt's own default
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008  # Qt's own default
        return 0 if parent.isValid() else len(self._heads)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        cell = self.cell(index)
        if role == Qt.ItemDataRole.DisplayRole:
            return f"{cell.text} {cell.quiet}".strip()
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return cell.words
        if role == Qt.ItemDataRole.ToolTipRole:
            return cell.said or None
        return cell if role == CELL_ROLE else None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> Any:
        if orientation is Qt.Orientation.Vertical:
            if role == Qt.ItemDataRole.DisplayRole and 0 <= section < len(self._rows):
                return self._rows[section][0].text
            return None
        if not 0 <= section < len(self._heads):
            return None
        head = self._heads[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return head.text
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            return head.words
        return None
