"""A list of changes or of things in the bin: rows of one line, a day named once, one Tab stop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import paint_ring, px

Index = QModelIndex | QPersistentModelIndex
NOWHERE = QModelIndex()
_INSET, _ROW = 8, 28  # px at a text size of 13 px


@dataclass(frozen=True, slots=True)
class Row:
    """The texts of one row, the day first; `key` names it, `quiet` sets it back.

    The day is drawn only where it is another one than in the row above.
    """

    key: object
    texts: tuple[str, ...]
    quiet: bool = False


class ListModel(QAbstractTableModel):
    """Rows of texts. Signals: more_wanted() when the end is reached and there are more to load."""

    more_wanted = Signal()

    def __init__(self, titles: Sequence[str], parent: QObject) -> None:
        super().__init__(parent)
        self.titles = tuple(titles)
        self._rows: list[Row] = []
        self._more = self._waits = False

    @property
    def rows(self) -> tuple[Row, ...]:
        """What is loaded."""
        return tuple(self._rows)

    def show_rows(self, rows: Sequence[Row], *, more: bool = False) -> None:
        """Show these in the place of all others."""
        self.beginResetModel()
        self._rows, self._more, self._waits = list(rows), more, False
        self.endResetModel()

    def append(self, rows: Sequence[Row], *, more: bool) -> None:
        """Show these after the others."""
        self._more, self._waits = more, False
        if rows:
            first = len(self._rows)
            self.beginInsertRows(NOWHERE, first, first + len(rows) - 1)
            self._rows.extend(rows)
            self.endInsertRows()

    def row_of(self, key: object) -> int | None:
        """The row of a key."""
        return next((at for at, row in enumerate(self._rows) if row.key == key), None)

    def is_quiet(self, row: int) -> bool:
        """Whether a row is set back."""
        return self._rows[row].quiet

    def begins_day(self, row: int) -> bool:
        """Whether a row is the first one of its day."""
        return row == 0 or self._rows[row].texts[0] != self._rows[row - 1].texts[0]

    def canFetchMore(self, parent: Index) -> bool:
        return not parent.isValid() and self._more and not self._waits

    def fetchMore(self, parent: Index) -> None:
        if self.canFetchMore(parent):
            self._waits = True
            self.more_wanted.emit()

    def rowCount(self, parent: Index = NOWHERE) -> int:
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = NOWHERE) -> int:
        return 0 if parent.isValid() else len(self.titles)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        text = self._rows[index.row()].texts[index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return text if index.column() or self.begins_day(index.row()) else ""
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            return text
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignVCenter
        return self.titles[section] if role == Qt.ItemDataRole.DisplayRole else None


class _Cells(QStyledItemDelegate):
    """A text in line with its title; a rule above it where a day begins, a fainter one below."""

    def __init__(self, model: ListModel, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        area, tokens = option.rect, tokens_now()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(tokens.sel))
        last = index.row() + 1 == self._model.rowCount()
        under = not last and self._model.begins_day(index.row() + 1)
        rule = tokens.edge if under else tokens.grid
        painter.fillRect(area.left(), area.bottom(), area.width(), 1, QColor(rule))
        room = area.adjusted(px(_INSET), 0, -px(_INSET), 0)
        painter.setFont(font(Role.BODY))
        painter.setPen(QColor(tokens.ink3 if self._model.is_quiet(index.row()) else tokens.ink))
        side = Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignVCenter
        text = painter.fontMetrics().elidedText(
            str(index.data()), Qt.TextElideMode.ElideRight, room.width()
        )
        painter.drawText(room, int(QStyle.visualAlignment(option.direction, side)), text)
        if option.state & QStyle.StateFlag.State_HasFocus:
            paint_ring(painter, area.adjusted(1, 1, -1, -1), tokens.ink)


class ListTable(QTableView):
    """Up and Down go through the rows; what is long is cut in the `wide` column alone.

    Signals: chosen() when another row or other rows are selected.
    """

    chosen = Signal()

    def __init__(
        self, model: ListModel, name: str, parent: QWidget, *, wide: int, several: bool = False
    ) -> None:
        super().__init__(parent)
        self._list, self._wide = model, wide
        self.setModel(model)
        self.setItemDelegate(_Cells(model, self))
        self.setAccessibleName(name)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setCornerButtonEnabled(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        modes = QAbstractItemView.SelectionMode
        self.setSelectionMode(modes.ExtendedSelection if several else modes.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.verticalHeader().hide()
        head = self.horizontalHeader()
        head.setHighlightSections(False)
        head.setSectionsClickable(False)
        head.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.selectionModel().selectionChanged.connect(lambda _new, _old: self.chosen.emit())
        follow_theme(self._restyle)

    def selected(self) -> list[object]:
        """The keys of the rows that are selected, from the top."""
        rows = sorted(index.row() for index in self.selectionModel().selectedRows())
        return [self._list.rows[row].key for row in rows]

    def select(self, key: object) -> None:
        """Select one row and give it the focus of the table; the first where it is not there."""
        if self._list.rowCount():
            row = self._list.row_of(key) or 0
            self.setCurrentIndex(self._list.index(row, self._wide))
            self.selectRow(row)
            self.setCurrentIndex(self._list.index(row, self._wide))

    def fit(self) -> None:
        """Give each column what its texts need, the wide one what is left; empty ones go."""
        rows = self._list.rows
        metrics, around = QFontMetrics(font(Role.BODY)), px(2 * _INSET) + 2
        head = self.horizontalHeader()
        head.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        for column, title in enumerate(self._list.titles):
            if column == self._wide:
                continue
            texts = {row.texts[column] for row in rows}
            self.setColumnHidden(column, bool(rows) and not any(texts))
            widest = max(metrics.horizontalAdvance(each) for each in (title, *texts))
            # However long a name is, what was changed keeps half of the room.
            most = self.viewport().width() // 5
            self.setColumnWidth(column, min(widest, max(most, px(60))) + around)
        head.setSectionResizeMode(self._wide, QHeaderView.ResizeMode.Stretch)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.oldSize().width() != event.size().width():
            self.fit()

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        self.horizontalHeader().setFont(font(Role.BODY))
        self.verticalHeader().setDefaultSectionSize(px(_ROW))
        self.fit()
        self.viewport().update()
