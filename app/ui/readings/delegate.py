"""Paints the cells: number, sign and letter, rules between rows and days, the ring of the focus."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import paint_ring, px
from app.ui.controls.sign_cell import paint_sign
from app.ui.reading_words import DASH
from app.ui.readings.line import Line
from app.ui.readings.model import Column, ReadingsModel

INSET = 8  # px at a text size of 13 px, on both sides of a cell
_INKS = {Column.KIT: "ink2", Column.KEEPER: "ink2"}
# "Absolute": the sides are turned here, not once more by the painter.
_MIDDLE = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignAbsolute
_STRONG = (Column.DAY, Column.VALUE)


class ReadingsDelegate(QStyledItemDelegate):
    """Paints from the model's `Line`, without asking it cell by cell and role by role."""

    def __init__(self, model: ReadingsModel, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        follow_theme(self._restyle)

    @property
    def row_height(self) -> int:
        """The height of a row: 28 px at a text size of 13 px."""
        return max(px(28), self._metrics.height() + px(8))

    def metrics(self, column: Column) -> QFontMetrics:
        """How wide texts of a column are."""
        return self._strong_metrics if column in _STRONG else self._metrics

    def sizeHint(
        self, _option: QStyleOptionViewItem, _index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        return QSize(px(40), self.row_height)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        row, column, area = index.row(), Column(index.column()), option.rect
        line, tokens = self._model.line(row), tokens_now()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(tokens.sel))
        if row and self._model.begins_day(row):
            painter.fillRect(area.left(), area.top(), area.width(), 1, QColor(tokens.edge))
        elif row:
            painter.fillRect(area.left(), area.top(), area.width(), 1, QColor(tokens.grid))
        if row == self._model.rowCount() - 1:
            painter.fillRect(area.left(), area.bottom(), area.width(), 1, QColor(tokens.grid))
        turned = option.direction is Qt.LayoutDirection.RightToLeft
        room = area.adjusted(self._inset, 0, -self._inset, 0)
        if column is Column.SIGN:
            if line.look is not None:
                letters = line.look.letters
                paint_sign(painter, room, line.look, letters, self._strong, turned=turned)
        else:
            self._paint_text(painter, room, line, row, column, turned=turned)
        if option.state & QStyle.StateFlag.State_HasFocus:
            paint_ring(painter, area.adjusted(1, 2, -1, -1), tokens.ink)

    def _paint_text(
        self, painter: QPainter, room: QRect, line: Line, row: int, column: Column, *, turned: bool
    ) -> None:
        text = self._model.cell(row, column)
        if not text:
            return
        tokens = tokens_now()
        ink = tokens.ink3 if text == DASH else getattr(tokens, _INKS.get(column, "ink"))
        at_end = column is Column.VALUE
        side = Qt.AlignmentFlag.AlignRight if at_end != turned else Qt.AlignmentFlag.AlignLeft
        if column is Column.ODD and line.doubtful:
            room = self._paint_question(painter, room, turned=turned)
        painter.setFont(self._strong if column in _STRONG else self._font)
        painter.setPen(QColor(ink))
        metrics = self.metrics(column)
        if metrics.horizontalAdvance(text) > room.width():
            text = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, side | _MIDDLE, text)

    def _paint_question(self, painter: QPainter, room: QRect, *, turned: bool) -> QRect:
        """The "?" of what is in doubt; what room is left beside it."""
        painter.setFont(self._strong)
        painter.setPen(QColor(tokens_now().ink))
        side = Qt.AlignmentFlag.AlignRight if turned else Qt.AlignmentFlag.AlignLeft
        painter.drawText(room, side | _MIDDLE, "?")
        width = self._strong_metrics.horizontalAdvance("?  ")
        return room.adjusted(0, 0, -width, 0) if turned else room.adjusted(width, 0, 0, 0)

    def _restyle(self) -> None:
        self._font, self._strong = QFont(font(Role.BODY)), QFont(font(Role.STRONG))
        self._metrics, self._strong_metrics = QFontMetrics(self._font), QFontMetrics(self._strong)
        self._inset = px(INSET)
