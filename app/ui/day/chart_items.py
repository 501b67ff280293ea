"""What only the chart of a day shows: numbers at marks, now, and a value not saved yet."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.domain.levels import Level
from app.look.drawn import look_at
from app.look.marks import DAY, paint_mark, paint_ring
from app.look.theme import tokens_now
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.day_pending import Pending
from app.review.marks_drawn import LEVELS, DrawnMarks
from app.store.columns import EXACT
from app.ui.charts.layers import Layer
from app.ui.charts.marks import at_edges
from app.ui.charts.pixel_item import PixelItem
from app.ui.charts.sight import Sight
from app.ui.day.value_places import Wanted, places_of

_MARK_PX = 16.0  # room for the ring of the mark pointed at
_RING_PX = 28.0
_NOW_PX = 1.6
_LOWS = (Level.LOW, Level.VERY_LOW)


class Values(PixelItem):
    """The numbers beside the marks, each where it fits; one that does not is left to the table."""

    def __init__(self, pending: PendingMark) -> None:
        super().__init__(Layer.WORDS)
        self._marks: DrawnMarks | None = None
        self._texts: tuple[str, ...] = ()
        self._pending = pending

    def show_values(self, marks: DrawnMarks, texts: Sequence[str]) -> None:
        """Write `texts` beside `marks`, but not over what is being typed."""
        self._marks, self._texts = marks, tuple(texts)
        self.update()

    def areas(self, sight: Sight) -> list[QRectF]:
        """What the numbers take, in px."""
        return [place for _, place in self._places(sight)]

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        painter.setFont(font(Role.STRONG))
        painter.setPen(QColor(tokens.ink))
        for text, place in self._places(sight):
            painter.drawText(place, Qt.AlignmentFlag.AlignCenter, text)

    def _places(self, sight: Sight) -> list[tuple[str, QRectF]]:
        """The numbers that have room, each with its place."""
        marks = self._marks
        if marks is None or not len(marks):
            return []
        metrics = QFontMetricsF(font(Role.STRONG))
        shown = np.flatnonzero(marks.bound == EXACT).tolist()
        wanted = [
            Wanted(
                sight.point(float(marks.x[at]), float(marks.value[at])),
                QSizeF(metrics.horizontalAdvance(self._texts[at]), metrics.height() * 0.9),
                LEVELS[marks.level[at]] in _LOWS,
            )
            for at in shown
        ]
        taken = self._pending.areas(sight) + _off_scale_areas(marks, sight, metrics)
        places = places_of(wanted, sight.plot, _MARK_PX * DAY * text_scale(), taken)
        return [
            (self._texts[at], place)
            for at, place in zip(shown, places, strict=True)
            if place is not None
        ]


class NowLine(PixelItem):
    """The brass line of the time that it is."""

    def __init__(self) -> None:
        super().__init__(Layer.LIMITS)
        self.at: float | None = None

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        if self.at is None:
            return
        x = round(sight.x(self.at))
        painter.setPen(QPen(QColor(tokens.brass), max(1.0, round(_NOW_PX * text_scale()))))
        painter.drawLine(QPointF(x, sight.plot.top()), QPointF(x, sight.plot.bottom()))


class NowName(QGraphicsItem):
    """The time that it is, "now 18:23", above the plot where its line ends."""

    def __init__(self) -> None:
        super().__init__()
        self.setZValue(Layer.FURNITURE + 1)
        self._at: float | None = None
        self._text = ""
        self._sight: Sight | None = None

    def show_now(self, at: float | None, text: str) -> None:
        """Write the text at a minute of the axis; None takes it away."""
        self._at, self._text = at, text
        self.update()

    def lay_out(self, sight: Sight) -> None:
        """Take the chart's sight."""
        self.prepareGeometryChange()
        self._sight = sight
        self.update()

    def boundingRect(self) -> QRectF:
        if self._sight is None:
            return QRectF()
        plot, tall = self._sight.plot, 2 * QFontMetricsF(font(Role.SMALL_STRONG)).height()
        return QRectF(0, plot.top() - tall, plot.right() + plot.left(), tall)

    def paint(
        self, painter: QPainter, _option: QStyleOptionGraphicsItem, _widget: QWidget | None = None
    ) -> None:
        sight, tokens = self._sight, tokens_now()
        if sight is None or self._at is None or not sight.shows_x(self._at):
            return
        painter.setFont(font(Role.SMALL_STRONG))
        metrics, x = QFontMetricsF(painter.font()), round(sight.x(self._at))
        over = 5 * text_scale()
        painter.setPen(QPen(QColor(tokens.brass), max(1.0, round(_NOW_PX * text_scale()))))
        painter.drawLine(QPointF(x, sight.plot.top() - over), QPointF(x, sight.plot.top()))
        wide, gap = metrics.horizontalAdvance(self._text), 5 * text_scale()
        # Left of its line where the plot ends: the name keeps inside.
        left = x + gap if x + gap + wide <= sight.plot.right() else x - gap - wide
        painter.drawText(QPointF(left, sight.plot.top() - 3 * text_scale()), self._text)


class PendingMark(PixelItem):
    """The value being typed, inside a dashed ring, with its number and that it is not saved."""

    def __init__(self) -> None:
        super().__init__(Layer.CURSOR)
        self._pending: Pending | None = None
        self._number = self._words = ""

    def show_pending(self, pending: Pending | None, number: str, words: str) -> None:
        """Ring the place of what is typed; None takes it away."""
        self._pending, self._number, self._words = pending, number, words
        self.update()

    def place(self, sight: Sight) -> tuple[float, float] | None:
        """Its minute and value, of one off the scale at the edge."""
        if self._pending is None:
            return None
        marks = self._pending.marks
        return float(marks.x[0]), float(at_edges(marks, sight)[0])

    def areas(self, sight: Sight) -> list[QRectF]:
        """What ring and words take, in px."""
        place = self.place(sight)
        if place is None:
            return []
        centre, side = sight.point(*place), _RING_PX * DAY * text_scale()
        ring = QRectF(centre.x() - side / 2, centre.y() - side / 2, side, side)
        tall = QFontMetricsF(font(Role.STRONG)).height()
        wide, away = self._words_width(), side / 2 + 5 * text_scale()
        right = centre.x() + away + wide <= sight.plot.right()
        left = centre.x() + away if right else centre.x() - away - wide
        return [ring, QRectF(left, centre.y() - tall / 2, wide, tall)]

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        if self._pending is None:
            return
        ring, words = self.areas(sight)
        paint_mark(
            painter, ring.center(), look_at(self._pending.marks, 0), tokens, DAY * text_scale()
        )
        paint_ring(painter, ring.center(), tokens, DAY * text_scale(), waiting=True)
        middle = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignAbsolute
        painter.setPen(QColor(tokens.ink))
        painter.setFont(font(Role.STRONG))
        painter.drawText(words, middle | Qt.AlignmentFlag.AlignLeft, self._number)
        painter.setPen(QColor(tokens.ink2))
        painter.setFont(font(Role.SMALL))
        painter.drawText(words, middle | Qt.AlignmentFlag.AlignRight, self._words)

    def _words_width(self) -> float:
        number = QFontMetricsF(font(Role.STRONG)).horizontalAdvance(self._number)
        words = QFontMetricsF(font(Role.SMALL)).horizontalAdvance(self._words)
        return number + 5 * text_scale() + words + 2


def _off_scale_areas(marks: DrawnMarks, sight: Sight, metrics: QFontMetricsF) -> list[QRectF]:
    """What the marks at the edge and their words take, in px."""
    y, half = at_edges(marks, sight), _MARK_PX * DAY * text_scale()
    word = metrics.horizontalAdvance("LO ")
    found = []
    for at in np.flatnonzero(marks.bound != EXACT).tolist():
        centre = sight.point(float(marks.x[at]), float(y[at]))
        left = centre.x() - half - (word if marks.tail[at] > 0 else 0.0)
        found.append(QRectF(left, centre.y() - half, 2 * half + word, 2 * half))
    return found
