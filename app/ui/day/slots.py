"""The eight slots side by side, or in rows of four or two where they do not fit."""

from __future__ import annotations

import itertools
from dataclasses import replace

from PySide6.QtCore import QEvent, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFontMetrics,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.domain.marks import SLOTS
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.review.day import DayView
from app.review.day_slots import SlotOfDay
from app.review.scale import GlucoseScale
from app.ui.controls.drawing import px
from app.ui.controls.wrapping import lines_of
from app.ui.day.slot_cell import CellSizes, SlotCell, least_height, number_width
from app.ui.day.slot_words import SlotWords, slot_words
from app.ui.day.strip import value_y
from app.ui.day.words import tr
from app.ui.words import number_words

_GAPS, _ROW_GAP = (14, 8), 14
_COLUMNS = (8, 4, 2, 1)
_NUMBERS = (Role.SLOT, Role.TITLE, Role.EMPTY)  # smaller before the slots go into two rows


class SlotsRow(QWidget):
    """One Tab stop; Left and Right go from slot to slot, Enter opens its last reading of the day.

    Signals: `looked_at(str)` the slot in words, empty for none; `chosen(int)` a reading's id.
    """

    looked_at = Signal(str)
    chosen = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._cells = [SlotCell(self) for _ in SLOTS]
        self._slots: tuple[SlotOfDay, ...] = ()
        self._scale: GlucoseScale | None = None
        self._at = 0
        self._columns = len(SLOTS)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(tr("Slots of the day, each beside the 14 days before"))
        follow_theme(self._restyle)

    @property
    def columns(self) -> int:
        """How many slots stand side by side."""
        return self._columns

    def show_day(self, view: DayView) -> None:
        """Show the slots of a day."""
        self._slots, self._scale = view.slots.slots, view.slots.scale
        for cell, slot in zip(self._cells, self._slots, strict=True):
            cell.show_slot(slot, view.slots.scale, slot_words(slot, view))
        self._restyle()  # longer numbers may need other columns, and so another height

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        columns, _, sizes = self._fit(width)
        rows = -(-len(SLOTS) // columns)
        return rows * least_height(sizes.name_lines) + (rows - 1) * px(_ROW_GAP)

    def sizeHint(self) -> QSize:
        return QSize(px(900), self.heightForWidth(self.width()) + px(20))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(120), self.heightForWidth(self.width()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place()
        if event.oldSize().width() != event.size().width():
            self.updateGeometry()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.LayoutDirectionChange:
            self._place()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        # The slots run with the time, to the right in every language.
        steps = {Qt.Key.Key_Left.value: -1, Qt.Key.Key_Right.value: 1}
        steps[Qt.Key.Key_Up.value] = -self._columns
        steps[Qt.Key.Key_Down.value] = self._columns
        key = event.key()
        if event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            event.ignore()
        elif key in steps and 0 <= self._at + steps[key] < len(self._cells):
            self._look_at(self._at + steps[key])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._choose()
        else:
            event.ignore()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        found = self.childAt(event.position().toPoint())
        if isinstance(found, SlotCell):
            self._look_at(self._cells.index(found))

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if isinstance(self.childAt(event.position().toPoint()), SlotCell):
            self._choose()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._look_at(self._at)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        for cell in self._cells:
            cell.set_ringed(False)
        self.looked_at.emit("")

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Write the scale beside the first and the last picture of each row."""
        if self._scale is None or not self._slots:
            return
        painter, tokens = QPainter(self), tokens_now()
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink3))
        metrics = QFontMetricsF(painter.font())
        for at, cell in enumerate(self._cells):
            column = at % self._columns
            if column in (0, self._columns - 1):
                self._write_scale(painter, metrics, cell, self._slots[at], first=column == 0)
        painter.end()

    def _write_scale(
        self,
        painter: QPainter,
        metrics: QFontMetricsF,
        cell: SlotCell,
        slot: SlotOfDay,
        *,
        first: bool,
    ) -> None:
        assert self._scale is not None
        area = cell.strip_area().translated(cell.x(), cell.y())
        for text, value in _numbers(slot, self._scale):
            y = value_y(area, value, self._scale) + metrics.capHeight() / 2
            wide = metrics.horizontalAdvance(text)
            x = area.left() - wide - px(4) if first else area.right() + px(4)
            painter.drawText(QPointF(x, y), text)

    def _look_at(self, at: int) -> None:
        self._at = at
        for place, cell in enumerate(self._cells):
            cell.set_ringed(place == at and self.hasFocus())
        words = self._cells[at].words
        self.looked_at.emit("" if words is None else " · ".join(words.told.split("\n")[:3]))

    def _choose(self) -> None:
        here = self._slots[self._at].here if self._slots else None
        if here is not None and len(here):
            self.chosen.emit(int(here.id[-1]))

    def _restyle(self) -> None:
        self._place()
        self.updateGeometry()
        self.update()

    def _place(self) -> None:
        self._columns, gap, sizes = self._fit(self.width())
        rows = -(-len(self._cells) // self._columns)
        row_gap, margin = px(_ROW_GAP), self._margin()
        room = self.width() - 2 * margin - (self._columns - 1) * gap
        wide = max(1, room // self._columns)
        tall = max(1, (self.height() - (rows - 1) * row_gap) // rows)
        in_full = all(_foot_fits(cell.words, wide) for cell in self._cells)
        sizes = replace(sizes, in_full=in_full)
        for at, cell in enumerate(self._cells):
            row, column = divmod(at, self._columns)
            left = margin + column * (wide + gap)
            cell.setGeometry(QRect(left, row * (tall + row_gap), wide, tall))
            cell.set_sizes(sizes)

    def _fit(self, width: int) -> tuple[int, int, CellSizes]:
        """How many slots go side by side, the gap between them, and how they are set then."""
        metrics = QFontMetrics(font(Role.SMALL_STRONG))
        names = [cell.words.name for cell in self._cells if cell.words is not None]
        words = [word for name in names for word in name.split()]
        longest = max((metrics.horizontalAdvance(word) for word in words), default=1)
        ways = itertools.product(_COLUMNS, _NUMBERS, (px(gap) for gap in _GAPS))
        for columns, role, gap in ways:
            room = (width - 2 * self._margin() - (columns - 1) * gap) // columns
            numbers = max(number_width(cell.words, role) for cell in self._cells)
            if room >= max(longest, numbers):
                break
        lines = max(
            (len(lines_of(name, metrics.horizontalAdvance, room)) for name in names), default=1
        )
        return columns, gap, CellSizes(lines, True, role)

    def _margin(self) -> int:
        """Room beside the first and the last picture for the numbers of the scale."""
        if self._scale is None:
            return 0
        metrics = QFontMetrics(font(Role.SMALL))
        texts = [text for slot in self._slots for text, _ in _numbers(slot, self._scale)]
        return max((metrics.horizontalAdvance(text) for text in texts), default=0) + px(6)


def _numbers(slot: SlotOfDay, scale: GlucoseScale) -> list[tuple[str, float]]:
    """The scale in two numbers: the goal of the slot, else two round ones of the scale."""
    limits = [end for end in (slot.low, slot.high) if end is not None]
    ticks = {tick.value: tick.text for tick in scale.ticks}
    if not limits:
        plain = [tick.value for tick in scale.ticks if not tick.is_limit] or list(ticks)
        limits = [plain[len(plain) // 4], plain[3 * len(plain) // 4]] if plain else []
    return [(number_words(ticks[each]), each) for each in limits if each in ticks]


def _foot_fits(words: SlotWords | None, width: int) -> bool:
    if words is None:
        return True
    metrics = QFontMetrics(font(Role.SMALL))
    n = metrics.horizontalAdvance(words.n) + (px(6) if words.n else 0)
    return metrics.horizontalAdvance(words.middle) + n <= width
