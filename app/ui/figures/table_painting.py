"""How the tables of figures are painted: heads over a rule, cells, strips, the focus ring."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QHeaderView, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from app.domain.levels import Level
from app.look.theme import tokens_now
from app.look.type import Role, font
from app.review.by_mark import MarkRow
from app.review.scale import GlucoseScale
from app.ui.controls.drawing import leading, paint_ring, px, trailing
from app.ui.figures.cells import CELL_ROLE, Cell, Head
from app.ui.figures.strips import StripSight, paint_scale, paint_strip

if TYPE_CHECKING:
    from app.ui.figures.table import FigureTable

_BAR = 10  # px at a text size of 13 px
_GAP = "\u2002"  # between a label and the quiet words after it

_Index = QModelIndex | QPersistentModelIndex


def widest_of(cells: Iterable[Cell]) -> int:
    """The width of the widest text of some cells, each with the quiet words after it."""
    body, strong, small = (
        QFontMetrics(font(role)) for role in (Role.BODY, Role.STRONG, Role.SMALL)
    )
    gap = body.horizontalAdvance(_GAP)
    widest = 0
    for cell in cells:
        width = (strong if cell.bold else body).horizontalAdvance(cell.text)
        if cell.quiet:
            width += gap + small.horizontalAdvance(cell.quiet)
        widest = max(widest, width + 1)
    return widest


class Heads(QHeaderView):
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
        if head.centred:
            side = Qt.AlignmentFlag.AlignHCenter
        room = _padded(self._table, rect, first=first)
        text = painter.fontMetrics().elidedText(
            head.text, Qt.TextElideMode.ElideRight, room.width() + 1
        )
        painter.drawText(room, side | Qt.AlignmentFlag.AlignVCenter, text)


class CellPainter(QStyledItemDelegate):
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
        elif cell.bar:
            _paint_bar(painter, _padded(table, rect, first=False), cell, table)
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
        small = QFontMetrics(font(Role.SMALL))
        # The unit stays whole: what it belongs to gives way, and is said in full by the tip.
        after = small.horizontalAdvance(cell.quiet) + metrics.horizontalAdvance(_GAP)
        least = room.width() - (after if cell.quiet else 0)
        text = metrics.elidedText(cell.text, Qt.TextElideMode.ElideRight, least)
        painter.setFont(font(role))
        painter.setPen(QColor(getattr(tokens, cell.ink)))
        painter.drawText(room, flags, text)
        if cell.quiet:
            taken = metrics.horizontalAdvance(text + _GAP)
            rest = room.adjusted(taken, 0, 0, 0)
            if _right_to_left(self._table):
                rest = room.adjusted(0, 0, -taken, 0)
            painter.setFont(font(Role.SMALL))
            painter.setPen(QColor(tokens.ink3))
            painter.drawText(rest, flags, cell.quiet)


def _paint_bar(painter: QPainter, room: QRect, cell: Cell, table: FigureTable) -> None:
    """Shares of levels side by side; one that is not none is never thinner than a line."""
    tokens, gap = tokens_now(), 1
    height = px(_BAR)
    top = room.top() + (room.height() - height) // 2
    some = [(level, share) for level, share in cell.bar if share > 0]
    free = room.width() - gap * (len(some) - 1)
    widths = [max(2, round(share * free)) for _, share in some]
    widest = widths.index(max(widths))
    widths[widest] += free - sum(widths)
    left = room.left()
    for (level, _), width in zip(some, widths, strict=True):
        at = left if not _right_to_left(table) else room.right() + 1 - (left - room.left()) - width
        part = QRect(at, top, width, height)
        if level is Level.IN_RANGE:
            painter.setPen(QPen(QColor(tokens.spe), 1))
            painter.setBrush(QColor(tokens.sp1))
            painter.drawRect(part.adjusted(0, 0, -1, -1))
        else:
            painter.fillRect(part, QColor(tokens.level_colour(level)))
        left += width + gap


def _padded(table: FigureTable, rect: QRect, *, first: bool) -> QRect:
    """The room for text; the first column begins at the edge of the page."""
    pad = px(table.pad_px)
    start, end = (0 if first else pad), (0 if first else pad)
    if _right_to_left(table):
        start, end = end, start
    return rect.adjusted(start, 0, -end, 0)


def _right_to_left(widget: QWidget) -> bool:
    return widget.layoutDirection() is Qt.LayoutDirection.RightToLeft
