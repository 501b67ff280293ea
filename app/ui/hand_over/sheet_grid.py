"""The grid to type a paper sheet into, by keyboard alone.

A letter or a digit begins a box anew, F2 goes on in it. Tab goes along the row and, behind the last
box, out of the grid; Enter and the arrows up and down go to another day; Delete empties a box.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QFontMetrics, QKeyEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QLineEdit,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.domain.marks import SLOTS
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import leading, paint_ring, px, trailing
from app.ui.hand_over.sheet_model import Index, SheetModel
from app.ui.hand_over.words import tr

_ROW, _PAD, _BAR, _HEAD_PAD = 30, 5, 3, 18
_LEAST_TEXT = "88.8"  # what a box always has room for
_WIDE_EDITOR = 190  # px: a note is longer than a box
_DOWN = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Down)
_EMPTIES = (Qt.Key.Key_Delete, Qt.Key.Key_Backspace)


class SheetGrid(QTableView):
    """As high as its rows. Signals: looked_at() another box is current, typing(str) in its editor.

    `submitted()` comes with Ctrl+Enter.
    """

    looked_at = Signal()
    typing = Signal(str)
    submitted = Signal()

    def __init__(self, boxes: SheetModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.boxes = boxes
        self._scrolls = False
        boxes.setParent(self)
        self.setModel(boxes)
        self.setItemDelegate(_Boxes(self))
        self.setAccessibleName(tr("The paper sheet, days down and slots across"))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setCornerButtonEnabled(False)
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(
            triggers.AnyKeyPressed | triggers.EditKeyPressed | triggers.DoubleClicked
        )
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        for head in (self.horizontalHeader(), self.verticalHeader()):
            head.setHighlightSections(False)
            head.setSectionsClickable(False)
            head.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            head.setMinimumSectionSize(1)
            head.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        boxes.modelReset.connect(self._fit)
        follow_theme(self._restyle)

    def step(self, rows: int, columns: int) -> bool:
        """Go to another box; along a row it goes on in the next one. Whether there is one."""
        count, at = self.boxes.columnCount(), self.currentIndex()
        place = at.row() * count + at.column() + columns
        row = place // count + rows if columns else at.row() + rows
        column = place % count if columns else at.column()
        if not 0 <= row < self.boxes.rowCount():
            return False
        self.setCurrentIndex(self.boxes.index(row, column))
        return True

    def sizeHint(self) -> QSize:
        high = self.horizontalHeader().sizeHint().height() + self.boxes.rowCount() * self._row()
        bar = self.horizontalScrollBar().sizeHint().height() if self._scrolls else 0
        return QSize(px(600), high + bar + 2)

    def minimumSizeHint(self) -> QSize:
        return QSize(px(120), self.sizeHint().height())

    def focusNextPrevChild(self, forward: bool) -> bool:
        if self.currentIndex().isValid() and self.step(0, 1 if forward else -1):
            return True
        return bool(super().focusNextPrevChild(forward))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        with_ctrl = event.modifiers() & Qt.KeyboardModifier.ControlModifier
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if with_ctrl:
                self.submitted.emit()
            else:
                self.step(1, 0)
        elif key in _EMPTIES and self.currentIndex().isValid():
            self.boxes.setData(self.currentIndex(), "")
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown, Qt.Key.Key_Escape):
            event.ignore()  # the page scrolls, and Escape leaves
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        if not self.currentIndex().isValid() and self.boxes.rowCount():
            self.setCurrentIndex(self.boxes.index(0, 0))
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.viewport().update()

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        self.viewport().update()
        self.looked_at.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_heads()

    def _fit_heads(self) -> None:
        """Share the width out; where a box would have no room for a value, the grid scrolls."""
        small, body = QFontMetrics(font(Role.SMALL)), QFontMetrics(font(Role.BODY))
        words = [tr(slot.words) for slot in SLOTS]
        in_two = [line for each in words for line in each.replace(" ", "\n", 1).split("\n")]
        whole = max(small.horizontalAdvance(line) for line in in_two) + px(_HEAD_PAD)
        in_words = max(small.horizontalAdvance(word) for each in words for word in each.split())
        least = max(in_words + px(_HEAD_PAD), body.horizontalAdvance(_LEAST_TEXT) + px(2 * _PAD))
        # What its own heads of rows leave; no scroll bar, which would come and go with it.
        room = self.width() - self.verticalHeader().sizeHint().width()
        changed = self.boxes.set_narrow(narrow=room < whole * len(SLOTS))
        wide = max(least, room // len(SLOTS))
        rest = max(0, room - wide * len(SLOTS))
        for column in range(len(SLOTS)):
            self.setColumnWidth(column, wide + (rest if column == len(SLOTS) - 1 else 0))
        scrolls = wide * len(SLOTS) > room
        if changed or scrolls != self._scrolls:
            self._scrolls = scrolls
            self._fit()

    def _row(self) -> int:
        return max(px(_ROW), QFontMetrics(font(Role.BODY)).height() + px(10))

    def _fit(self) -> None:
        self.verticalHeader().setDefaultSectionSize(self._row())
        self.setFixedHeight(self.sizeHint().height())
        self.updateGeometry()

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        self.horizontalHeader().setFont(font(Role.SMALL))
        self.verticalHeader().setFont(font(Role.BODY))
        self._fit()
        self._fit_heads()
        self.viewport().update()


class _Boxes(QStyledItemDelegate):
    """Paints a box: its text, a brass bar where it is not understood, "?" where it is asked about.

    Its editor keeps the keys of the grid: Tab, Enter, up and down take what was typed and go on.
    """

    def __init__(self, grid: SheetGrid) -> None:
        super().__init__(grid)
        self._grid = grid

    def createEditor(self, parent: QWidget, _option: QStyleOptionViewItem, index: Index) -> QWidget:
        editor = QLineEdit(parent)
        editor.setFont(font(Role.BODY))
        editor.setAccessibleName(self._grid.boxes.sentence(index))
        editor.textChanged.connect(self._grid.typing.emit)
        return editor

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        if isinstance(editor, QLineEdit):
            editor.setText(str(index.data(Qt.ItemDataRole.EditRole)))

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, _index: Index
    ) -> None:
        box: QRect = option.rect
        wide = max(box.width(), px(_WIDE_EDITOR))
        room = self._grid.viewport().width()
        editor.setGeometry(
            QRect(min(box.left(), max(0, room - wide)), box.top(), wide, box.height())
        )

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.KeyPress and isinstance(editor, QLineEdit):
            assert isinstance(event, QKeyEvent)
            key = Qt.Key(event.key())
            steps = {Qt.Key.Key_Tab: (0, 1), Qt.Key.Key_Backtab: (0, -1), Qt.Key.Key_Up: (-1, 0)}
            step = (1, 0) if key in _DOWN else steps.get(key)
            if step is not None:
                self.commitData.emit(editor)
                self.closeEditor.emit(editor, QStyledItemDelegate.EndEditHint.NoHint)
                if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                    self._grid.submitted.emit()
                elif not self._grid.step(*step) and step[1]:
                    self._grid.focusNextPrevChild(step[1] > 0)
                return True
        return bool(super().eventFilter(editor, event))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        grid, tokens, area = self._grid, tokens_now(), option.rect
        boxes = grid.boxes
        painter.save()
        current = grid.currentIndex() == index
        painter.fillRect(area.left(), area.bottom(), area.width(), 1, QColor(tokens.edge))
        painter.fillRect(area.right(), area.top(), 1, area.height(), QColor(tokens.line))
        if index.column() == 0:
            edge = area.right() if self._from_right() else area.left()
            painter.fillRect(edge, area.top(), 1, area.height(), QColor(tokens.line))
        if boxes.is_wrong(index) or boxes.is_asked(index):
            bar = QRect(0, area.top(), _BAR, area.height() - 1)
            bar.moveLeft(area.left() if not self._from_right() else area.right() - _BAR)
            painter.fillRect(bar, QColor(tokens.brass))
        room = area.adjusted(px(_PAD) + 1, 0, -px(_PAD), 0)
        painter.setFont(font(Role.BODY))
        painter.setPen(QColor(tokens.ink))
        if boxes.is_asked(index):
            painter.drawText(room, trailing(grid) | Qt.AlignmentFlag.AlignVCenter, "?")
            sign = painter.fontMetrics().horizontalAdvance(" ?")
            room = (
                room.adjusted(sign, 0, 0, 0)
                if self._from_right()
                else room.adjusted(0, 0, -sign, 0)
            )
        text = painter.fontMetrics().elidedText(
            str(index.data()), Qt.TextElideMode.ElideRight, room.width()
        )
        painter.drawText(room, leading(grid) | Qt.AlignmentFlag.AlignVCenter, text)
        if current and grid.hasFocus():
            paint_ring(painter, area.adjusted(0, 0, -1, -1), tokens.ink, radius=2)
        painter.restore()

    def _from_right(self) -> bool:
        return self._grid.layoutDirection() is Qt.LayoutDirection.RightToLeft
