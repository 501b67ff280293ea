"""One slot of the day: its name, the day's number, the fourteen days before, and their count."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetrics, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.look.marks import MarkLook, paint_mark
from app.look.shapes import Tail
from app.look.theme import tokens_now
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.day_slots import SlotOfDay
from app.review.scale import GlucoseScale
from app.ui.controls.drawing import leading, mirrored, paint_ring, px, trailing
from app.ui.controls.wrapping import lines_of
from app.ui.day.slot_words import SlotWords
from app.ui.day.strip import paint_strip

_GAP, _LETTER_GAP = 6, 4
_BODY, _TAIL = 6.0, 10.0  # px that a mark reaches to the sides, without and with its tail
STRIP_LEAST = 64


@dataclass(frozen=True, slots=True)
class CellSizes:
    """What cells share: lines of the name, the size of the number, "median" written out or not."""

    name_lines: int
    in_full: bool
    number: Role


class SlotCell(QWidget):
    """Painted as a whole; the row around it has the focus and says which cell is looked at."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._slot: SlotOfDay | None = None
        self._scale: GlucoseScale | None = None
        self._words: SlotWords | None = None
        self._sizes = CellSizes(1, True, Role.SLOT)
        self._ringed = False

    @property
    def words(self) -> SlotWords | None:
        """What it says."""
        return self._words

    def show_slot(self, slot: SlotOfDay, scale: GlucoseScale, words: SlotWords) -> None:
        """Show a slot."""
        self._slot, self._scale, self._words = slot, scale, words
        self.setAccessibleName(words.title)
        self.setAccessibleDescription(words.told)
        self.setToolTip(words.told)
        self.update()

    def set_sizes(self, sizes: CellSizes) -> None:
        """Take what all cells of the row share."""
        self._sizes = sizes
        self.update()

    def set_ringed(self, ringed: bool) -> None:
        """Draw the focus ring round it, or no longer."""
        self._ringed = ringed
        self.update()

    def strip_area(self) -> QRectF:
        """Where the small picture lies; time runs to the right in every language."""
        top = head_height(self._sizes.name_lines)
        tall = self.height() - top - _foot_height()
        return QRectF(0, top, self.width(), max(tall, 1))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        event.ignore()  # the row takes it

    def paintEvent(self, _event: QPaintEvent) -> None:
        if self._slot is None or self._scale is None or self._words is None:
            return
        painter, tokens = QPainter(self), tokens_now()
        self._paint_name(painter, self._words, tokens)
        self._paint_number(painter, self._words, tokens)
        area = self.strip_area()
        paint_strip(painter, area, self._slot, self._scale, tokens)
        self._paint_foot(painter, self._words, tokens)
        if self._ringed:
            paint_ring(painter, self.rect(), tokens.ink)
        painter.end()

    def _line(self, top: float, height: float) -> QRect:
        return QRect(0, round(top), self.width(), round(height))

    def _paint_name(self, painter: QPainter, words: SlotWords, tokens: Tokens) -> None:
        small, strong = font(Role.SMALL), font(Role.SMALL_STRONG)
        tall = QFontMetrics(small).height()
        painter.setFont(small)
        metrics = painter.fontMetrics()
        first = metrics.horizontalAdvance(words.before)
        time = metrics.horizontalAdvance(words.time)
        painter.setPen(QColor(tokens.ink3))
        side = Qt.AlignmentFlag.AlignVCenter
        painter.drawText(self._line(0, tall), leading(self) | side, words.before)
        if first + time + (px(6) if first else 0) <= self.width():
            painter.drawText(self._line(0, tall), trailing(self) | side, words.time)
        painter.setFont(strong)
        painter.setPen(QColor(tokens.ink))
        lines = lines_of(words.name, QFontMetrics(strong).horizontalAdvance, self.width())
        # The last line of every name stands right over its number.
        top = tall + (self._sizes.name_lines - len(lines)) * QFontMetrics(strong).height()
        for line in lines:
            painter.drawText(
                self._line(top, QFontMetrics(strong).height()), leading(self) | side, line
            )
            top += QFontMetrics(strong).height()

    def _paint_number(self, painter: QPainter, words: SlotWords, tokens: Tokens) -> None:
        top, tall = _number_top(self._sizes.name_lines), _number_height()
        side = Qt.AlignmentFlag.AlignVCenter
        if words.number is None:
            painter.setFont(font(Role.BODY))
            if painter.fontMetrics().horizontalAdvance(words.nothing) > self.width():
                painter.setFont(font(Role.SMALL))
            painter.setPen(QColor(tokens.ink2))
            said = painter.fontMetrics().elidedText(
                words.nothing, Qt.TextElideMode.ElideRight, self.width()
            )
            painter.drawText(self._line(top, tall), leading(self) | side, said)
            return
        painter.setFont(font(self._sizes.number))
        painter.setPen(QColor(tokens.ink))
        painter.drawText(self._line(top, tall), leading(self) | side, words.number)
        at = painter.fontMetrics().horizontalAdvance(words.number)
        if words.look is None:
            return
        before, after = sign_reach(words.look)
        left, wide = at + px(_GAP), before + after
        box = mirrored(self, QRect(round(left), round(top), round(wide), round(tall)))
        centre = QPointF(box.left() + before, box.center().y() + 0.5)
        paint_mark(painter, centre, words.look, tokens, text_scale())
        painter.setFont(font(Role.SMALL_STRONG))
        ink = tokens.within if words.look.is_apart else tokens.level_text(words.look.level)
        painter.setPen(QColor(ink))
        rest = self._line(top, tall).adjusted(round(left + wide + px(_LETTER_GAP)), 0, 0, 0)
        painter.drawText(mirrored(self, rest), leading(self) | side, words.letters)
        # How many more there are only where it fits: the tip and the table tell it too.
        room = rest.width() - painter.fontMetrics().horizontalAdvance(f"{words.letters} ")
        painter.setPen(QColor(tokens.ink3))
        if words.more and painter.fontMetrics().horizontalAdvance(words.more) <= room:
            painter.drawText(mirrored(self, rest), trailing(self) | side, words.more)

    def _paint_foot(self, painter: QPainter, words: SlotWords, tokens: Tokens) -> None:
        painter.setFont(font(Role.SMALL))
        tall = painter.fontMetrics().height()
        line = self._line(self.height() - tall - 1, tall)
        side = Qt.AlignmentFlag.AlignVCenter
        middle = words.middle if self._sizes.in_full else words.middle_short
        painter.setPen(QColor(tokens.ink2))
        room = self.width() - painter.fontMetrics().horizontalAdvance(words.n)
        middle = painter.fontMetrics().elidedText(middle, Qt.TextElideMode.ElideRight, room)
        painter.drawText(line, leading(self) | side, middle)
        painter.setPen(QColor(tokens.ink3))
        painter.drawText(line, trailing(self) | side, words.n)


def sign_reach(look: MarkLook) -> tuple[float, float]:
    """The px that a mark reaches to the left and to the right of its middle."""
    scale = text_scale()
    left = _TAIL if look.tail is Tail.LEFT else _BODY
    right = _TAIL if look.tail is Tail.RIGHT else _BODY
    return left * scale, right * scale


def number_width(words: SlotWords | None, role: Role) -> int:
    """The px that a number takes with its mark and letters, set in a role."""
    if words is None or words.number is None:
        return 0
    wide = QFontMetrics(font(role)).horizontalAdvance(words.number)
    if words.look is not None:
        wide += px(_GAP) + round(sum(sign_reach(words.look)))
    if words.letters:
        letters = QFontMetrics(font(Role.SMALL_STRONG)).horizontalAdvance(words.letters)
        wide += px(_LETTER_GAP) + letters
    return wide


def head_height(name_lines: int) -> int:
    """The px above the small picture."""
    return round(_number_top(name_lines) + _number_height() + px(6))


def least_height(name_lines: int) -> int:
    """The px that a cell needs at least."""
    return head_height(name_lines) + px(STRIP_LEAST) + _foot_height()


def _number_top(name_lines: int) -> float:
    strong = QFontMetrics(font(Role.SMALL_STRONG)).height()
    return QFontMetrics(font(Role.SMALL)).height() + name_lines * strong


def _number_height() -> int:
    return QFontMetrics(font(Role.SLOT)).height()


def _foot_height() -> int:
    return QFontMetrics(font(Role.SMALL)).height() + px(5)
