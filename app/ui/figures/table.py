"""A table of figures that stands in the page as a whole: no scroll bars, one Tab stop."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import (
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QFocusEvent,
    QFontMetrics,
    QKeyEvent,
    QMouseEvent,
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
from app.review.scale import GlucoseScale
from app.ui.controls.drawing import px
from app.ui.figures.cells import Cells
from app.ui.figures.table_painting import CellPainter, Heads, widest_of

_ROW, _HEAD = 28, 28
_PAD = 8
_LABEL_LEAST, _LABEL_AIR, _STRIP_LEAST, _SHORT_LEAST = 84, 24, 64, 40


class FigureTable(QTableView):
    """Cells in the look of the page. Signals: picked(column) by a click or Enter in a column.

    `row_help` or `column_help` name the help text of each row or column, for F1.

    Parameters
    ----------
    name : str
        What a screen reader says of the whole.
    strip_column : int
        The column that takes the room left over and is drawn on a scale; -1 for none.
    may_go : sequence of int
        Columns that go where the room is narrow; what they say is in another cell's words too.
    may_shorten : bool
        Whether every column may be cut short where the room is narrow; the tip says it in full.
    pad_px : int
        Room at both sides of a number, at a text size of 13 px.
    row_px : int
        The height of a row, at a text size of 13 px.
    """

    picked = Signal(int)

    def __init__(
        self,
        parent: QWidget | None = None,
        *,
        name: str,
        strip_column: int = -1,
        may_go: Sequence[int] = (),
        may_shorten: bool = False,
        pad_px: int = _PAD,
        row_px: int = _ROW,
    ) -> None:
        super().__init__(parent)
        self.cells = Cells()
        self.cells.setParent(self)
        self.strip_column = strip_column
        self._may_go = tuple(may_go)
        self._may_shorten = may_shorten
        self.pad_px, self._row_px = pad_px, row_px
        self.row_help: tuple[str, ...] = ()
        self.column_help: tuple[str, ...] = ()
        self.scale: GlucoseScale | None = None
        self._widths: dict[int, int] = {}  # of the cells shown: measuring text takes long
        self.setModel(self.cells)
        self.setAccessibleName(name)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setHorizontalHeader(Heads(self))
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setItemDelegate(CellPainter(self))
        self.cells.modelReset.connect(self._fit)
        self.cells.dataChanged.connect(self._fit)
        follow_theme(self._restyle)

    @property
    def help_key(self) -> str:
        """The key of the help text of the current cell's figure, by its row or its column."""
        at = self.currentIndex()
        for keys, place in ((self.row_help, at.row()), (self.column_help, at.column())):
            if 0 <= place < len(keys) and keys[place]:
                return keys[place]
        return ""

    def sizeHint(self) -> QSize:
        rows = self.cells.rowCount() * px(self._row_px)
        wide = sum(self._wanted(column) for column in range(self.cells.columnCount()))
        return QSize(wide, px(_HEAD) + rows)

    def minimumSizeHint(self) -> QSize:
        least = sum(
            self._least(column)
            for column in range(self.cells.columnCount())
            if column not in self._may_go
        )
        return QSize(least, self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_columns()

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()  # the page scrolls, the table stands in it as a whole

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.cells.rowCount():
            self.setCurrentIndex(self.cells.index(0, 0))
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self.picked.emit(self.currentIndex().column())
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown, Qt.Key.Key_Escape):
            event.ignore()  # the page's own
        else:
            super().keyPressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        super().mouseReleaseEvent(event)
        at = self.indexAt(event.position().toPoint())
        if at.isValid() and event.button() is Qt.MouseButton.LeftButton:
            self.picked.emit(at.column())

    def head_height(self) -> int:
        """The height of the heads."""
        return px(_HEAD)

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        self.verticalHeader().setMinimumSectionSize(px(self._row_px))
        self.verticalHeader().setDefaultSectionSize(px(self._row_px))
        self._fit()

    def _fit(self) -> None:
        self._widths.clear()
        self.setFixedHeight(self.sizeHint().height())
        self._fit_columns()
        self.updateGeometry()
        self.viewport().update()
        self.horizontalHeader().viewport().update()

    def _fit_columns(self) -> None:
        """Give each column what it needs; the strip takes the rest, and gives way first."""
        count, room = self.cells.columnCount(), self.viewport().width()
        if not count:
            return
        widths = {column: self._wanted(column) for column in range(count)}
        stretched = self.strip_column if self.strip_column >= 0 else 0
        short = sum(widths.values()) - room
        for column in self._may_go:
            self.setColumnHidden(column, short > 0)
            if short > 0:
                short -= widths.pop(column)
        spare = room - sum(widths.values())
        if spare >= 0 and stretched and stretched in widths:
            widths[stretched] += spare
        elif spare >= 0 and len(widths) > 1:
            # A label far from its numbers loses the eye: the columns draw apart instead.
            label = min(spare, px(_LABEL_AIR))
            each, rest = divmod(spare - label, len(widths) - 1)
            for column in widths:
                widths[column] += each if column else label + rest
        for column in dict.fromkeys((stretched, 0)) if spare < 0 else ():
            if column not in widths:
                continue
            given = min(-spare, widths[column] - self._least(column))
            widths[column] -= given
            spare += given
        if spare < 0 and self._may_shorten:
            _shorten(widths, -spare, {column: self._least(column) for column in widths})
        for column, width in widths.items():
            self.setColumnWidth(column, width)

    def _wanted(self, column: int) -> int:
        if column not in self._widths:
            self._widths[column] = self._measured(column)
        return self._widths[column]

    def _measured(self, column: int) -> int:
        if column == self.strip_column:
            return px(200)
        head = self.cells.head(column)
        words = QFontMetrics(font(Role.SMALL_STRONG if head.chosen else Role.SMALL))
        texts = widest_of(self.cells.column_texts(column))
        widest = max(words.horizontalAdvance(head.text), texts)
        return widest + (1 if column == 0 else 2) * px(self.pad_px)

    def _least(self, column: int) -> int:
        if column == self.strip_column:
            return px(_STRIP_LEAST)
        if column == 0:
            return min(px(_LABEL_LEAST), self._wanted(0))
        wanted = self._wanted(column)
        return min(px(_SHORT_LEAST), wanted) if self._may_shorten else wanted


def _shorten(widths: dict[int, int], by: int, least: dict[int, int]) -> None:
    """Take so much from the columns, always from the widest that may still give."""
    for _ in range(by):
        may = [column for column in widths if widths[column] > least[column]]
        if not may:
            return
        widths[max(may, key=lambda column: widths[column])] -= 1
