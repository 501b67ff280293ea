"""What the small charts of the Kit page share: one Tab stop, arrows walk, each mark has words."""

from __future__ import annotations

import math
from abc import abstractmethod
from collections.abc import Iterable

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.look.marks import paint_ring as ring_mark
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import paint_ring, px
from app.ui.words import number_words

_REACH = 24  # px from a mark within which a click is meant for it
_TICKS = 5
MARK = 13  # px of a mark at a text size of 13 px


class SmallChart(QWidget):
    """A chart of a few marks. Left and Right walk them, Home and End go to the ends.

    Signals: walked(int) the place of the mark that is pointed at, chosen(int) by Enter or a click.
    """

    walked = Signal(int)
    chosen = Signal(int)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._name, self._at = name, 0
        self._places: list[QPointF] = []
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        follow_theme(self._restyle)

    @abstractmethod
    def count(self) -> int:
        """How many marks there are."""

    @abstractmethod
    def said(self, at: int) -> str:
        """A mark in words."""

    @abstractmethod
    def draw(self, painter: QPainter) -> list[QPointF]:
        """Paint everything; give where each mark is, null points for those out of sight."""

    @property
    def at(self) -> int:
        """The place of the mark that is pointed at."""
        return self._at

    @property
    def places(self) -> list[QPointF]:
        """Where the marks were painted last, in px."""
        return self._places

    def point_at(self, at: int) -> None:
        """Point at a mark; nothing is told where it is pointed at already."""
        if not 0 <= at < self.count() or at == self._at:
            return
        self._at = at
        self.tell()
        self.walked.emit(at)
        self.update()

    def begin_at(self, at: int) -> None:
        """Point at a mark after other ones are shown."""
        self._at = max(0, min(at, self.count() - 1))
        self.tell()
        self.updateGeometry()
        self.update()

    def tell(self) -> None:
        """Give a screen reader the mark that is pointed at."""
        here = f". {self.said(self._at)}" if self.count() else ""
        self.setAccessibleName(f"{self._name}{here}")

    def sizeHint(self) -> QSize:
        return QSize(px(640), px(230))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(280), self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, last = Qt.Key(event.key()), self.count() - 1
        to = {
            Qt.Key.Key_Right: min(self._at + 1, last),
            Qt.Key.Key_Left: max(self._at - 1, 0),
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: last,
        }.get(key)
        if to is not None and self.count():
            self.point_at(to)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.count():
            self.chosen.emit(self._at)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        near = [
            ((event.position() - place).manhattanLength(), at)
            for at, place in enumerate(self._places)
            if not place.isNull()
        ]
        if near and min(near)[0] <= _REACH:
            self.point_at(min(near)[1])

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._places = self.draw(painter) if self.count() else []
        if self.hasFocus():
            tokens = tokens_now()
            paint_ring(painter, self.rect().adjusted(1, 1, -1, -1), tokens.ink, radius=2)
            if self._places and not self._places[self._at].isNull():
                ring_mark(painter, self._places[self._at], tokens, px(MARK) / MARK)
        painter.end()

    def _restyle(self) -> None:
        self.updateGeometry()
        self.update()


class Scale:
    """An upright scale of a plot: round numbers between two ends, the higher the further up."""

    def __init__(self, low: float, high: float, plot: QRectF) -> None:
        self.step = round_step((high - low) / _TICKS)
        self.low = math.floor(low / self.step) * self.step
        self.high = math.ceil(high / self.step) * self.step
        self.plot = plot

    def y_of(self, value: float) -> float:
        """Where a value is, in px."""
        return self.plot.bottom() - (value - self.low) / (self.high - self.low) * (
            self.plot.height()
        )

    def ticks(self) -> list[float]:
        """The round numbers from bottom to top."""
        count = round((self.high - self.low) / self.step)
        return [self.low + at * self.step for at in range(count + 1)]

    def paint(self, painter: QPainter, title: str, *, signed: bool = False) -> None:
        """Paint the lines and numbers, and over them what they are."""
        tokens = tokens_now()
        painter.setFont(font(Role.SMALL))
        high = QFontMetrics(painter.font()).height()
        places = 0 if self.step >= 1 else 1 if self.step >= 0.1 else 2
        for value in self.ticks():
            y = round(self.y_of(value))
            painter.fillRect(QRectF(self.plot.left(), y, self.plot.width(), 1), QColor(tokens.grid))
            number = f"{value:+.{places}f}" if signed and round(value, 6) else f"{value:.{places}f}"
            room = QRectF(0, y - high / 2, self.plot.left() - px(8), high)
            painter.setPen(QColor(tokens.ink3))
            painter.drawText(
                room,
                Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter,
                number_words(number).replace("-", "\u2212"),
            )
        painter.drawText(QPointF(px(4), high), title)


def round_step(least: float) -> float:
    """The next round step of a scale: 1, 2 or 5 times a power of ten.

    >>> round_step(0.3), round_step(1.2), round_step(18)
    (0.5, 2.0, 20.0)
    """
    power = 10.0 ** math.floor(math.log10(max(least, 1e-9)))
    return next(float(power * each) for each in (1, 2, 5, 10) if power * each >= least * 0.999)


def span_of(values: Iterable[float], *, air: float) -> tuple[float, float]:
    """The ends of what is to be drawn, with so much air at both."""
    found = list(values)
    return min(found) - air, max(found) + air
