"""The plan as a grid of slots and days: one Tab stop, walked by the arrow keys."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import (
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QFontMetrics,
    QKeyEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QSizePolicy,
    QTableView,
    QWidget,
)

from app.look.theme import follow_theme
from app.look.type import Role, font
from app.review.schedule import Planned
from app.ui.controls.drawing import px
from app.ui.plan.grid_model import GridCell, GridModel
from app.ui.plan.grid_painting import GridHead, GridPainter
from app.ui.plan.reading import PlanRead
from app.ui.plan.signs import Sign

ROW = 27
_DAY, _AIR = 22, 16

_Index = QModelIndex | QPersistentModelIndex
_LABEL_LEAST = 96


class PlanGridTable(QTableView):
    """Slots down, days across; as high as it is, with no scroll bar.

    Signals: day_looked_at(date) the day of the current cell, test_looked_at(object) a planned
    test or None, test_opened(object) Enter or a double click on one, menu_wanted(QPoint) global.
    """

    day_looked_at = Signal(object)
    test_looked_at = Signal(object)
    test_opened = Signal(object)
    menu_wanted = Signal(QPoint)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.cells = GridModel()
        self.cells.setParent(self)
        self.chosen_day: date | None = None
        self.setModel(self.cells)
        self.setAccessibleName(self.tr("The plan by slot and day"))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setHorizontalHeader(GridHead(self))
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setMinimumSectionSize(1)
        self.setItemDelegate(GridPainter(self))
        self.doubleClicked.connect(self._on_opened)
        follow_theme(self._restyle)

    def show_plan(self, read: PlanRead, finding: str) -> None:
        """Show what was read; the finding is what a screen reader hears of the whole."""
        at = (self.currentIndex().row(), self.cells.day_at(self.currentIndex().column()))
        self.cells.show_plan(read)
        self.setAccessibleDescription(finding)
        self._fit()
        column = self.cells.column_of(at[1]) if at[1] is not None else None
        if column is not None and 0 <= at[0] < self.cells.rowCount():
            self._set_current(self.cells.index(at[0], column))

    def look_at(self, day: date) -> None:
        """Mark a day as the one that is spoken of below."""
        self.chosen_day = day
        self.viewport().update()
        self.horizontalHeader().viewport().update()

    def signs(self) -> set[Sign]:
        """Every sign that stands in it."""
        cells = self.cells
        return {
            sign
            for row in range(cells.rowCount())
            for column in range(cells.columnCount())
            for sign in cells.cell(cells.index(row, column)).signs
        }

    def least_width(self, days: int) -> int:
        """How wide the grid has to be for so many days."""
        return self._label_width() + days * px(_DAY) + self._count_width()

    def sizeHint(self) -> QSize:
        high = self.horizontalHeader().sizeHint().height() + self.cells.rowCount() * self._row()
        return QSize(self.least_width(len(self.cells.days)), high)

    def minimumSizeHint(self) -> QSize:
        return QSize(px(_LABEL_LEAST), self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_columns()

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()

    def focusInEvent(self, event: QFocusEvent) -> None:
        # Before Qt takes the first cell, which is a name and no test.
        if not self.currentIndex().isValid() and self.cells.rowCount():
            day = self.chosen_day or self.cells.days[-1]
            self._set_current(self.cells.index(0, self.cells.column_of(day) or 1))
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._on_opened(self.currentIndex())
        elif event.key() in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            event.ignore()  # the page scrolls
        else:
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        if event.reason() is QContextMenuEvent.Reason.Keyboard:
            at = self.visualRect(self.currentIndex()).center()
        else:
            at = self.viewport().mapFromGlobal(event.globalPos())
            if self.indexAt(at).isValid():
                self._set_current(self.indexAt(at))
        self.menu_wanted.emit(self.viewport().mapToGlobal(at))

    def currentChanged(self, current: _Index, previous: _Index) -> None:
        super().currentChanged(current, previous)
        self.viewport().update()
        if not current.isValid():
            return
        day = self.cells.day_at(current.column())
        if day is not None:
            self.day_looked_at.emit(day)
        self.test_looked_at.emit(_test_of(self.cells.cell(current)))

    def _set_current(self, index: QModelIndex) -> None:
        self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.NoUpdate)

    def _on_opened(self, index: QModelIndex) -> None:
        if index.isValid():
            self.test_opened.emit(_test_of(self.cells.cell(index)))

    def _row(self) -> int:
        return max(px(ROW), QFontMetrics(font(Role.BODY)).height() + px(8))

    def _label_width(self) -> int:
        metrics = QFontMetrics(font(Role.BODY))
        names = [
            self.cells.cell(self.cells.index(row, 0)).text for row in range(self.cells.rowCount())
        ]
        return max((metrics.horizontalAdvance(name) for name in names), default=0) + px(_AIR)

    def _count_width(self) -> int:
        last = self.cells.columnCount() - 1
        metrics = QFontMetrics(font(Role.STRONG))
        said = [
            self.cells.cell(self.cells.index(row, last)).text
            for row in range(self.cells.rowCount())
            if last > 0
        ]
        return max((metrics.horizontalAdvance(text) for text in said), default=0) + px(_AIR)

    def _fit(self) -> None:
        self.verticalHeader().setDefaultSectionSize(self._row())
        self.setFixedHeight(self.sizeHint().height())
        self._fit_columns()
        self.updateGeometry()

    def _fit_columns(self) -> None:
        days = len(self.cells.days)
        if not days:
            return
        room = self.viewport().width()
        counts = self._count_width()
        label = min(self._label_width(), max(px(_LABEL_LEAST), room - counts - days * px(_DAY)))
        each, rest = divmod(max(0, room - label - counts), days)
        self.setColumnWidth(0, label + rest)
        for column in range(1, days + 1):
            self.setColumnWidth(column, each)
        self.setColumnWidth(days + 1, counts)

    def _restyle(self) -> None:
        self._fit()
        self.viewport().update()


def _test_of(cell: GridCell) -> Planned | None:
    """The test of a cell that is spoken of: of several one still open, else the last."""
    still_open = [each for each in cell.tests if each.settled.state.value in ("due", "upcoming")]
    return next(iter((*still_open, *cell.tests[-1:])), None)
