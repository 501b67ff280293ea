"""A table of figures that stands in the page as a whole: no scroll bars, one Tab stop."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import (
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFontMetrics,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.review.by_mark import MarkRow
from app.review.scale import GlucoseScale
from app.ui.controls.drawing import leading, paint_ring, px, trailing
from app.ui.figures.cells import CELL_ROLE, Cell, Cells, Head
from app.ui.figures.strips import StripSight, paint_scale, paint_strip

_ROW, _HEAD = 28, 28
_PAD = 8
_LABEL_LEAST, _STRIP_LEAST = 84, 120
_GAP = "\u2002"  # between a label and the quiet words after it

_Index = QModelIndex | QPersistentModelIndex


class FigureTable(QTableView):
    """Cells in the look of the page. Signals: picked(column) by a click or Enter in a column.

    Parameters
    ----------
    name : str
        What a screen reader says of the whole.
    strip_column : int
        The column that takes the room left over and is drawn on a scale; -1 for none.
    may_go : sequence of int
        Columns that go where the room is narrow; what they say is in another cell's words too.
    pad_px : int
        Room at both sides of a number, at a text size of 13 px.
    """

    picked = Signal(int)

    def __init__(
        self,
        parent: QWidget | None = None,
        *,
        name: str,
        strip_column: int = -1,
        may_go: Sequence[int] = (),
        pad_px: int = _PAD,
    ) -> None:
        super().__init__(parent)
        self.cells = Cells()
        self.cells.setParent(self)
        self.strip_column = strip_column
        self._may_go = tuple(may_go)
        self.pad_px = pad_px
        self.scale: GlucoseScale | None = None
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
        self.setHorizontalHeader(_Heads(self))
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setItemDelegate(_Painter(self))
        self.cells.modelReset.connect(self._fit)
        self.cells.dataChanged.connect(self._fit)
        follow_theme(self._restyle)

    def sizeHint(self) -> QSize:
        rows = self.cells.rowCount() * px(_ROW)
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
        self.verticalHeader().setMinimumSectionSize(px(_ROW))
        self.verticalHeader().setDefaultSectionSize(px(_ROW))
        self._fit()

    def _fit(self) -> None:
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
        if spare >= 0:
            widths[stretched] += spare
        for column in dict.fromkeys((stretched, 0)) if spare < 0 else ():
            given = min(-spare, widths[column] - self._least(column))
            widths[column] -= given
            spare += given
        for column, width in widths.items():
            self.setColumnWidth(column, width)

    def _wanted(self, column: int) -> int:
        if column == self.strip_column:
            return px(200)
        head = self.cells.head(column)
        words = QFontMetrics(font(Role.SMALL_STRONG if head.chosen else Role.SMALL))
        widest = words.horizontalAdvance(head.text)
        for cell in self.cells.column_texts(column):
            widest = max(widest, _width(cell))
        return widest + (1 if column == 0 else 2) * px(self.pad_px)

    def _least(self, column: int) -> int:
        if column == self.strip_column:
            return px(_STRIP_LEAST)
        return min(px(_LABEL_LEAST), self._wanted(0)) if column == 0 else self._wanted(column)


class _Heads(QHeaderView):
    """Heads in small letters over a rule; over strips the scale stands in their place."""

    def __init__(self, table: FigureTable) -> None:
        super().__init__(Qt.Orientation.Horizontal, table)
        self._table = table
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setMinimumSectionSize(1)
        self.setSectionsClickable(False)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def sizeHint(self) -> QSize:
        return QSize(super().sizeHint().width(), self._table.head_height())

    def paintSection(self, painter: QPainter, rect: QRect, logical: int) -> None:
        head, tokens = self._table.cells.head(logical), tokens_now()
        painter.save()
        painter.fillRect(rect, QColor(tokens.sel if head.chosen else tokens.page))
        rule = QRect(rect.left(), rect.bottom(), rect.width(), 1)
        painter.fillRect(rule, QColor(tokens.edge))
        if logical == self._table.strip_column and self._table.scale is not None:
            sight = StripSight(
                QRectF(rect), self._table.scale, right_to_left=_right_to_left(self._table)
            )
            paint_scale(painter, sight, self._table.scale, tokens)
        else:
            self._write(painter, rect, head, first=logical == 0)
        painter.restore()

    def _write(self, painter: QPainter, rect: QRect, head: Head, *, first: bool) -> None:
        tokens = tokens_now()
        painter.setFont(font(Role.SMALL_STRONG if head.chosen else Role.SMALL))
        painter.setPen(QColor(tokens.ink if head.chosen else tokens.ink3))
        side = trailing(self._table) if head.at_end else leading(self._table)
        painter.drawText(
            _padded(self._table, rect, first=first), side | Qt.AlignmentFlag.AlignVCenter, head.text
        )


class _Painter(QStyledItemDelegate):
    """Paints one cell: shade, rule, text or strip, and the ring of the current cell."""

    def __init__(self, table: FigureTable) -> None:
        super().__init__(table)
        self._table = table

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        table, tokens = self._table, tokens_now()
        rect: QRect = option.rect
        cell: Cell = index.data(CELL_ROLE)
        painter.save()
        if table.cells.head(index.column()).chosen:
            painter.fillRect(rect, QColor(tokens.sel))
        if cell.strip is not None and table.scale is not None:
            self._paint_strip(painter, rect, cell.strip, table.scale)
        else:
            self._write(painter, rect, cell, first=index.column() == 0)
        strong = index.row() + 1 in table.cells.after_rule
        rule = QRect(rect.left(), rect.bottom(), rect.width(), 1)
        painter.fillRect(rule, QColor(tokens.edge if strong else tokens.grid))
        if table.hasFocus() and table.currentIndex() == index:
            paint_ring(painter, rect.adjusted(0, 0, 0, -1), tokens.ink, radius=2)
        painter.restore()

    def _paint_strip(
        self, painter: QPainter, rect: QRect, row: MarkRow, scale: GlucoseScale
    ) -> None:
        area = QRectF(rect).adjusted(0, 0, 0, -1)
        sight = StripSight(area, scale, right_to_left=_right_to_left(self._table))
        paint_strip(painter, sight, row, tokens_now())

    def _write(self, painter: QPainter, rect: QRect, cell: Cell, *, first: bool) -> None:
        tokens = tokens_now()
        room = _padded(self._table, rect, first=first)
        side = trailing(self._table) if cell.at_end else leading(self._table)
        flags = side | Qt.AlignmentFlag.AlignVCenter
        role = Role.STRONG if cell.bold else Role.BODY
        metrics = QFontMetrics(font(role))
        text = metrics.elidedText(cell.text, Qt.TextElideMode.ElideRight, room.width())
        painter.setFont(font(role))
        painter.setPen(QColor(getattr(tokens, cell.ink)))
        painter.drawText(room, flags, text)
        if cell.quiet and text == cell.text:
            taken = metrics.horizontalAdvance(cell.text + _GAP)
            if _right_to_left(self._table):
                room.setRight(room.right() - taken)
            else:
                room.setLeft(room.left() + taken)
            painter.setFont(font(Role.SMALL))
            painter.setPen(QColor(tokens.ink3))
            quiet = QFontMetrics(font(Role.SMALL)).elidedText(
                cell.quiet, Qt.TextElideMode.ElideRight, room.width()
            )
            painter.drawText(room, flags, quiet)


def _width(cell: Cell) -> int:
    width = QFontMetrics(font(Role.STRONG if cell.bold else Role.BODY)).horizontalAdvance(cell.text)
    if cell.quiet:
        width += QFontMetrics(font(Role.BODY)).horizontalAdvance(_GAP)
        width += QFontMetrics(font(Role.SMALL)).horizontalAdvance(cell.quiet)
    return width + 1


def _padded(table: FigureTable, rect: QRect, *, first: bool) -> QRect:
    """The room for text; the first column begins at the edge of the page."""
    pad = px(table.pad_px)
    start, end = (0 if first else pad), (0 if first else pad)
    if _right_to_left(table):
        start, end = end, start
    return rect.adjusted(start, 0, -end, 0)


def _right_to_left(widget: QWidget) -> bool:
    return widget.layoutDirection() is Qt.LayoutDirection.RightToLeft
