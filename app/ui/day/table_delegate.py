"""Paints the cells of a day's table: number, sign and letter, texts over a few lines, rules."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from app.look.theme import tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import paint_ring, px
from app.ui.controls.sign_cell import paint_sign
from app.ui.day.table_model import Column, DayTableModel

INSET, ROW = 8, 28  # px at a text size of 13 px
QUIET = (Column.METER, Column.KEEPER)
WRAPS = (Column.MARK, Column.NOTE)
_MOST_LINES = 4


class DayDelegate(QStyledItemDelegate):
    """Number, sign and letter, texts over up to three lines, a rule under each row."""

    def __init__(self, rows: DayTableModel, parent: QWidget) -> None:
        super().__init__(parent)
        self._rows = rows
        self.restyle()

    @property
    def row_height(self) -> int:
        """The height of a row of one line."""
        return max(px(ROW), QFontMetrics(self._font).height() + px(8))

    def restyle(self) -> None:
        """Take the fonts of the text size in force."""
        self._font, self._strong = QFont(font(Role.BODY)), QFont(font(Role.STRONG))

    def metrics(self, column: Column) -> QFontMetrics:
        """How wide texts of a column are."""
        return QFontMetrics(self._strong if column in (Column.VALUE, Column.SIGN) else self._font)

    def height_of(self, at: int, shown: Sequence[Column], widths: Sequence[int]) -> int:
        """The height of a row whose mark and note may need several lines."""
        line = QFontMetrics(self._font).height()
        lines = 1
        for column, width in zip(shown, widths, strict=True):
            if column in WRAPS:
                wide = width - 2 * px(INSET)
                text = _in_lines(self._rows.text(at, column), QFontMetrics(self._font), wide)
                lines = max(lines, _lines(text, QFontMetrics(self._font), wide))
        return self.row_height + (lines - 1) * line

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
        at, column, area, tokens = index.row(), Column(index.column()), option.rect, tokens_now()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(tokens.sel))
        painter.fillRect(area.left(), area.bottom(), area.width(), 1, QColor(tokens.grid))
        turned = option.direction is Qt.LayoutDirection.RightToLeft
        room = area.adjusted(px(INSET), 0, -px(INSET), 0)
        look = self._rows.look(at)
        if column is Column.SIGN:
            if look is not None:
                letters = self._rows.text(at, column)
                paint_sign(painter, room, look, letters, self._strong, turned=turned)
        else:
            self._paint_text(painter, room, at, column, turned=turned)
        if option.state & QStyle.StateFlag.State_HasFocus:
            paint_ring(painter, area.adjusted(1, 1, -1, -1), tokens.ink)

    def _paint_text(
        self, painter: QPainter, room: QRect, at: int, column: Column, *, turned: bool
    ) -> None:
        text, tokens = self._rows.text(at, column), tokens_now()
        side = Qt.AlignmentFlag.AlignLeft
        if (column is Column.VALUE) != turned:
            side = Qt.AlignmentFlag.AlignRight
        painter.setFont(self._strong if column is Column.VALUE else self._font)
        painter.setPen(QColor(tokens.ink2 if column in QUIET else tokens.ink))
        flags = int(side | Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignAbsolute)
        metrics = self.metrics(column)
        if column in WRAPS:
            flags |= int(Qt.TextFlag.TextWordWrap)
            text = _in_lines(text, metrics, room.width())
        else:
            text = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room.width() + 1)
        painter.drawText(room.adjusted(0, 0, 1, 0), flags, text)


def _lines(text: str, metrics: QFontMetrics, wide: int) -> int:
    """How many lines a text takes."""
    area = metrics.boundingRect(QRect(0, 0, wide, 10_000), Qt.TextFlag.TextWordWrap, text)
    return max(1, round(area.height() / metrics.height()))


def _in_lines(text: str, metrics: QFontMetrics, wide: int) -> str:
    """As much of a text as the lines of a row hold; the whole stands in the tip of the row."""
    if _lines(text, metrics, wide) <= _MOST_LINES:
        return text
    words = text.split()
    while len(words) > 1 and _lines(" ".join(words) + " …", metrics, wide) > _MOST_LINES:
        words.pop()
    return " ".join(words) + " …"
