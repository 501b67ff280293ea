"""How the grid of the plan is painted: signs, rules, the day that it is, washed in brass."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter
from PySide6.QtWidgets import QHeaderView, QStyledItemDelegate, QStyleOptionViewItem

from app.look.theme import tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import leading, paint_ring, px
from app.ui.plan.grid_model import GridCell
from app.ui.plan.signs import SIDE, paint_sign
from app.ui.plan.words import weekday_name
from app.ui.words import count_words

if TYPE_CHECKING:
    from app.ui.plan.grid import PlanGridTable

_Index = QModelIndex | QPersistentModelIndex
_APART = 4
_PAD = 12
_BAND = 8


class GridHead(QHeaderView):
    """The days in two lines, the weekday over the number; today in ink, the others quieter."""

    def __init__(self, table: PlanGridTable) -> None:
        super().__init__(Qt.Orientation.Horizontal, table)
        self._table = table
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setMinimumSectionSize(1)
        self.setSectionsClickable(False)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def sizeHint(self) -> QSize:
        lines = QFontMetrics(font(Role.SMALL)).height() + QFontMetrics(font(Role.BODY)).height()
        return QSize(super().sizeHint().width(), lines + px(8))

    def paintSection(self, painter: QPainter, rect: QRect, logical: int) -> None:
        tokens, cells = tokens_now(), self._table.cells
        day = cells.day_at(logical)
        painter.save()
        is_today = day is not None and day == cells.today
        painter.fillRect(rect, QColor(tokens.wash if is_today else tokens.page))
        painter.fillRect(QRect(rect.left(), rect.bottom(), rect.width(), 1), QColor(tokens.line))
        if day is not None:
            chosen = day == self._table.chosen_day
            upper = QFontMetrics(font(Role.SMALL)).height()
            top = QRect(rect.left(), rect.top() + px(2), rect.width(), upper)
            painter.setFont(font(Role.SMALL))
            painter.setPen(QColor(tokens.ink if is_today else tokens.ink3))
            name = weekday_name(day.weekday())
            room = QFontMetrics(font(Role.SMALL))
            if room.horizontalAdvance(name) > rect.width():
                name = name[:1]
            painter.drawText(top, Qt.AlignmentFlag.AlignCenter, name)
            below = rect.adjusted(0, upper + px(2), 0, -px(4))
            painter.setFont(font(Role.STRONG if is_today or chosen else Role.BODY))
            painter.setPen(QColor(tokens.ink if is_today or chosen else tokens.ink2))
            painter.drawText(below, Qt.AlignmentFlag.AlignCenter, count_words(day.day))
            if chosen:
                painter.fillRect(
                    QRect(rect.left(), rect.bottom() - 1, rect.width(), 2), QColor(tokens.ink)
                )
        painter.restore()


class GridPainter(QStyledItemDelegate):
    """Paints one cell: the wash of today, its signs or text, the rule below, the focus ring."""

    def __init__(self, table: PlanGridTable) -> None:
        super().__init__(table)
        self._table = table

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        table, tokens = self._table, tokens_now()
        rect: QRect = option.rect
        cell = table.cells.cell(index)
        day = table.cells.day_at(index.column())
        painter.save()
        if day is not None and day == table.cells.today:
            painter.fillRect(rect, QColor(tokens.wash))
        painter.fillRect(QRect(rect.left(), rect.bottom(), rect.width(), 1), QColor(tokens.grid))
        if day is None:
            self._write(painter, rect, cell, at_start=index.column() == 0)
        else:
            _paint_cell(painter, rect, cell)
        if table.hasFocus() and table.currentIndex() == index:
            paint_ring(painter, rect.adjusted(0, 0, 0, -1), tokens.ink, radius=2)
        painter.restore()

    def _write(self, painter: QPainter, rect: QRect, cell: GridCell, *, at_start: bool) -> None:
        tokens, table = tokens_now(), self._table
        quiet = cell.is_span or (not at_start and not cell.strong)
        role = Role.STRONG if cell.strong else Role.SMALL if quiet else Role.BODY
        painter.setFont(font(role))
        painter.setPen(QColor(tokens.ink3 if quiet else tokens.ink))
        room, pad = QRect(rect), px(_PAD)
        if not at_start:
            rtl = table.layoutDirection() is Qt.LayoutDirection.RightToLeft
            room = rect.adjusted(0, 0, -pad, 0) if rtl else rect.adjusted(pad, 0, 0, 0)
        text = QFontMetrics(font(role)).elidedText(
            cell.text, Qt.TextElideMode.ElideRight, room.width()
        )
        painter.drawText(room, leading(table) | Qt.AlignmentFlag.AlignVCenter, text)


def _paint_cell(painter: QPainter, rect: QRect, cell: GridCell) -> None:
    tokens = tokens_now()
    middle = QRectF(rect).center()
    if cell.is_span:
        if cell.text:  # neighbours join into one band, as long as the days are
            high = px(_BAND)
            band = QRect(rect.left(), round(middle.y() - high / 2), rect.width(), high)
            painter.fillRect(band, QColor(tokens.sel))
        return
    if cell.text:
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink))
        painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, cell.text)
        return
    step = px(SIDE + _APART)
    first = middle.x() - step * (len(cell.signs) - 1) / 2
    for place, sign in enumerate(cell.signs):
        paint_sign(painter, QPointF(first + place * step, middle.y()), sign, tokens)
