"""How a row with a time is painted: time, title, quieter words, the wash of what is late."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from app.look.theme import tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import leading, mirrored, paint_ring, px
from app.ui.controls.wrapping import wrapped
from app.ui.plan.signs import SIDE, paint_sign

if TYPE_CHECKING:
    from app.ui.due.rows import Row, RowList

_Index = QModelIndex | QPersistentModelIndex
TIME_PX = 48  # the column of times; wider where one of them is
_AIR, _BAR, _BETWEEN = 12, 3, 16
_AROUND, _LATE_AROUND, _BESIDE_AROUND = 3, 8, 4


class RowPainter(QStyledItemDelegate):
    """Paints one row of a `RowList`, and says how high it has to be."""

    def __init__(self, rows: RowList, *, beside: bool, inset: float) -> None:
        super().__init__(rows)
        self._list, self._beside, self._inset_px = rows, beside, inset
        self._time = 0

    def forget(self) -> None:
        """Measure anew: other rows, or another text size."""
        self._time = 0

    def width(self, row: Row) -> int:
        """How wide a row is in one line."""
        wide = self._start() + QFontMetrics(font(Role.STRONG)).horizontalAdvance(row.title) + 2
        note = QFontMetrics(font(Role.SMALL)).horizontalAdvance(row.note)
        if row.note and self._beside:
            return wide + px(_BETWEEN) + note + self._inset()
        return max(wide, self._start() + note) + self._inset()

    def height(self, row: Row, width: int) -> int:
        """How high a row is in a list so wide."""
        return self._laid_out(row, width)[-1]

    def sizeHint(self, _option: QStyleOptionViewItem, index: _Index) -> QSize:
        row, width = self._list.rows[index.row()], self._list.viewport().width()
        return QSize(width, self.height(row, width))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        tokens, rect = tokens_now(), QRect(option.rect)
        row = self._list.rows[index.row()]
        title_at, note_at, _ = self._laid_out(row, rect.width())
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        hovered = bool(option.state & QStyle.StateFlag.State_MouseOver)
        if row.late:
            painter.fillRect(rect, QColor(tokens.wash))
        if row.late and not self._beside:
            bar = self._at(rect, QRect(0, 0, px(_BAR), rect.height()))
            painter.fillRect(bar, QColor(tokens.brass))
        elif hovered and not row.late and self._list.opens:
            painter.fillRect(rect, QColor(tokens.sel))
        if self._beside:
            rule = QRect(rect.left(), rect.bottom(), rect.width(), 1)
            painter.fillRect(rule, QColor(tokens.grid))
        ink = tokens.ink if row.late else tokens.ink3 if row.quiet else tokens.ink2
        side = leading(self._list) | Qt.AlignmentFlag.AlignTop
        painter.setFont(font(Role.STRONG if row.late else Role.BODY))
        painter.setPen(QColor(ink))
        time = QRect(self._inset(), title_at.top(), self._time_px(), title_at.height())
        painter.drawText(self._at(rect, time), side, row.when)
        if row.sign is not None:
            box = self._at(rect, QRect(self._sign_left(), title_at.top(), px(SIDE), 1))
            middle = rect.top() + title_at.top() + painter.fontMetrics().height() / 2
            paint_sign(painter, QPointF(box.center().x() + 0.5, middle), row.sign, tokens)
        painter.setPen(QColor(tokens.ink2 if row.quiet else tokens.ink))
        self._draw(painter, rect, title_at, row.title, self._title_role(row))
        painter.setPen(QColor(tokens.ink2))
        self._draw(painter, rect, note_at, row.note, Role.SMALL)
        if self._list.hasFocus() and self._list.currentIndex() == index:
            paint_ring(painter, rect, tokens.ink)
        painter.restore()

    def _draw(self, painter: QPainter, rect: QRect, at: QRect, text: str, role: Role) -> None:
        if text:
            place = self._at(rect, at)
            layout, _ = wrapped(text, font(role), place.width(), self._list.layoutDirection())
            layout.draw(painter, QPointF(place.topLeft()))

    def _at(self, rect: QRect, part: QRect) -> QRect:
        return mirrored(self._list.viewport(), part.translated(0, rect.top()))

    def _laid_out(self, row: Row, width: int) -> tuple[QRect, QRect, int]:
        """Where title and note stand in a row so wide, and how high it is."""
        around, left = self._around(row), self._start()
        room = max(px(40), width - left - self._inset())
        small = QFontMetrics(font(Role.SMALL))
        note = small.horizontalAdvance(row.note) + 2 if row.note else 0
        role = self._title_role(row)
        title = QFontMetrics(font(role)).horizontalAdvance(row.title) + 2
        direction = self._list.layoutDirection()
        if self._beside and row.note and title + px(_BETWEEN) + note <= room:
            high = QFontMetrics(font(role)).height()
            drop = QFontMetrics(font(role)).ascent() - small.ascent()
            at_end = QRect(left + room - note, around + drop, note, small.height())
            return QRect(left, around, title, high), at_end, high + 2 * around
        high = wrapped(row.title, font(role), room, direction)[1]
        below = wrapped(row.note, font(Role.SMALL), room, direction)[1] if row.note else 0
        return (
            QRect(left, around, room, high),
            QRect(left, around + high, room, below),
            high + below + 2 * around,
        )

    def _around(self, row: Row) -> int:
        if self._beside:
            return px(_BESIDE_AROUND)
        return px(_LATE_AROUND if row.late else _AROUND)

    def _title_role(self, row: Row) -> Role:
        return Role.STRONG if row.late else Role.BODY

    def _inset(self) -> int:
        return px(self._inset_px) if self._inset_px else 0

    def _sign_left(self) -> int:
        return self._inset() + self._time_px() + px(_AIR)

    def _start(self) -> int:
        if not any(row.when for row in self._list.rows):
            return self._inset()
        left = self._sign_left()
        if any(row.sign is not None for row in self._list.rows):
            left += px(SIDE) + px(_AIR)
        return left

    def _time_px(self) -> int:
        if not self._time:
            metrics = QFontMetrics(font(Role.STRONG))
            widest = max(
                (metrics.horizontalAdvance(row.when) + 1 for row in self._list.rows), default=0
            )
            self._time = max(px(TIME_PX), widest)
        return self._time
