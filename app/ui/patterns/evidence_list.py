"""Readings as evidence, side by side in short lines; each of them opens its day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFocusEvent, QFontMetrics, QKeyEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QListView,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from app.look.marks import MarkLook
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import leading, paint_ring, px
from app.ui.controls.sign_cell import paint_sign, sign_width

ITEM_ROLE = Qt.ItemDataRole.UserRole
_ROW, _GAP, _MOST_ROWS = 26, 8, 6
_WIDEST = 420

_Index = QModelIndex | QPersistentModelIndex


@dataclass(frozen=True, slots=True)
class Item:
    """One reading: its sign, what it was, when, and the diary day that it opens."""

    look: MarkLook | None
    value: str
    when: str
    day: date
    said: str = ""

    @property
    def words(self) -> str:
        """What a screen reader and a tip say."""
        return self.said or ", ".join(part for part in (self.value, self.when) if part)


class _Items(QAbstractListModel):
    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._items: tuple[Item, ...] = ()

    def set_items(self, items: Sequence[Item]) -> None:
        self.beginResetModel()
        self._items = tuple(items)
        self.endResetModel()

    @property
    def items(self) -> tuple[Item, ...]:
        return self._items

    def rowCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008  # Qt's own default
        return 0 if parent.isValid() else len(self._items)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        item = self._items[index.row()]
        if role in (
            Qt.ItemDataRole.DisplayRole,
            Qt.ItemDataRole.AccessibleTextRole,
            Qt.ItemDataRole.ToolTipRole,
        ):
            return item.words
        return item if role == ITEM_ROLE else None


class EvidenceList(QListView):
    """Signals: day_asked(date) by Enter or a double click, left() by Esc.

    With `below_each_other` each one has a line of its own, as long as there is room.
    """

    day_asked = Signal(object)
    left = Signal()

    def __init__(self, parent: QWidget | None = None, *, below_each_other: bool = False) -> None:
        super().__init__(parent)
        self._is_column = below_each_other
        self._items = _Items(self)
        self.setModel(self._items)
        self.setItemDelegate(_Painter(self))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFlow(QListView.Flow.LeftToRight)
        self.setWrapping(True)
        self.setUniformItemSizes(True)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setTabKeyNavigation(False)
        self.doubleClicked.connect(self._on_double_clicked)
        follow_theme(self._restyle)

    def show_items(self, items: Sequence[Item], *, name: str) -> None:
        """Show other readings; the first of them is where the keys begin."""
        self._items.set_items(items)
        self.setAccessibleName(name)
        self._fit()
        if items:
            self.setCurrentIndex(self._items.index(0, 0))

    @property
    def items(self) -> tuple[Item, ...]:
        """What is listed."""
        return self._items.items

    def item_size(self) -> QSize:
        """The size of every item: as wide as the widest asks for, or as the list is."""
        strong, body = QFontMetrics(font(Role.STRONG)), QFontMetrics(font(Role.BODY))
        widest = px(120)
        for item in self.items:
            value = strong.horizontalAdvance(item.value)
            widest = max(widest, value + px(_GAP) + body.horizontalAdvance(item.when))
        signs = sign_width(0) + px(4) if any(item.look for item in self.items) else 0
        wide = signs + widest + px(20)
        room = max(px(120), self.viewport().width() - 2)
        if self._is_column:
            return QSize(room, px(_ROW))
        return QSize(min(wide, px(_WIDEST), room), px(_ROW))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._open(self.currentIndex().row())
        elif key == Qt.Key.Key_Escape:
            self.left.emit()
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            event.ignore()  # the page's own
        else:
            super().keyPressEvent(event)

    def _on_double_clicked(self, index: QModelIndex) -> None:
        self._open(index.row())

    def _open(self, at: int) -> None:
        self.day_asked.emit(self.items[at].day)

    def _fit(self) -> None:
        """As high as its rows, up to six of them; beyond it scrolls."""
        size = self.item_size()
        across = max(1, self.viewport().width() // size.width())
        rows = -(-len(self.items) // across)
        self.setFixedHeight(min(max(rows, 1), _MOST_ROWS) * size.height() + 2)
        self.scheduleDelayedItemsLayout()

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        self._fit()
        self.viewport().update()


class _Painter(QStyledItemDelegate):
    def __init__(self, view: EvidenceList) -> None:
        super().__init__(view)
        self._view = view

    def sizeHint(self, _option: QStyleOptionViewItem, _index: _Index) -> QSize:
        return self._view.item_size()

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        view, tokens = self._view, tokens_now()
        item: Item = index.data(ITEM_ROLE)
        rect: QRect = option.rect
        turned = view.isRightToLeft()
        painter.save()
        room = rect.adjusted(px(4), 0, -px(4), 0)
        if item.look is not None:
            paint_sign(painter, room, item.look, "", font(Role.STRONG), turned=turned)
            room = _beyond(room, sign_width(0) + px(4), turned=turned)
        flags = leading(view) | Qt.AlignmentFlag.AlignVCenter
        for text, role, ink in (
            (item.value, Role.STRONG, tokens.ink),
            (item.when, Role.BODY, tokens.ink2),
        ):
            painter.setFont(font(role))
            painter.setPen(QColor(ink))
            metrics = painter.fontMetrics()
            said = metrics.elidedText(text, Qt.TextElideMode.ElideRight, max(0, room.width()))
            painter.drawText(room, flags, said)
            room = _beyond(room, metrics.horizontalAdvance(said) + px(_GAP), turned=turned)
        if view.hasFocus() and view.currentIndex() == index:
            paint_ring(painter, rect.adjusted(1, 1, -1, -1), tokens.ink, radius=2)
        painter.restore()


def _beyond(room: QRect, taken: int, *, turned: bool) -> QRect:
    return room.adjusted(0, 0, -taken, 0) if turned else room.adjusted(taken, 0, 0, 0)
