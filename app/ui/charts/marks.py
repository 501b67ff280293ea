"""Readings as marks: shape tells the level, the tail the meal, a hollow body the doubt."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QTransform,
)

from app.domain.levels import Level
from app.look import shapes
from app.look.shapes import SYMBOL_PX, Tail
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.marks_drawn import LEVELS, DrawnMarks
from app.store.columns import ABOVE, BELOW, EXACT
from app.ui.charts.layers import Layer
from app.ui.charts.pixel_item import PixelItem
from app.ui.charts.sight import Sight

TAILS_UP_TO = 400  # with more marks than that, tails only blur
_EDGE_PX = 16.0  # room for the shape, its bar and its arrow
_MOST_WORDS = 24
_APART = len(LEVELS)  # the code of a ×, beyond those of the levels

_Floats = NDArray[np.float64]


class ReadingMarks(pg.ScatterPlotItem):  # type: ignore[misc]  # pyqtgraph ships no types
    """The marks of a chart, painted by one item; which one is pointed at is the chart's matter."""

    def __init__(self) -> None:
        super().__init__(pxMode=True, hoverable=False, tip=None)
        self.setZValue(Layer.READINGS)
        self.setPen(None)
        self.insides = pg.ScatterPlotItem(pxMode=True, hoverable=False, tip=None)
        self.insides.setZValue(Layer.INSIDES)

    def show_marks(self, marks: DrawnMarks, y: _Floats, tokens: Tokens, scale: float) -> None:
        """Draw every mark at `y`, where those off the scale stand at the edge."""
        size = SYMBOL_PX * scale * text_scale()
        tails = marks.tail if len(marks) <= TAILS_UP_TO else np.zeros_like(marks.tail)
        look = np.where(marks.apart, _APART, marks.level).astype(np.int64)
        codes = look * 6 + np.where(marks.apart, 0, (tails + 1) * 2 + marks.doubt)
        colours = [*(tokens.level_colour(level) for level in LEVELS), tokens.within]
        kinds, which = np.unique(codes, return_inverse=True)
        symbols = np.empty(kinds.size, dtype=object)
        brushes = np.empty(kinds.size, dtype=object)
        for at, kind in enumerate(kinds.tolist()):
            symbols[at] = _symbol(kind)
            brushes[at] = _brush(colours[kind // 6])
        self.setData(
            x=marks.x, y=y, symbol=symbols[which], brush=brushes[which], size=size, pen=_no_pen()
        )
        hollow = marks.doubt & ~marks.apart
        bodies = np.empty(len(LEVELS), dtype=object)
        bodies[:] = [_body(level) for level in range(len(LEVELS))]
        self.insides.setData(
            x=marks.x[hollow],
            y=y[hollow],
            symbol=bodies[marks.level[hollow]],
            brush=_brush(tokens.page),
            size=size,
            pen=_no_pen(),
        )


class EdgeWords(PixelItem):
    """The arrow on each mark off the scale, and "LO" or "HI" beside it."""

    def __init__(self) -> None:
        super().__init__(Layer.WORDS)
        self._off = _NOTHING
        self._scale = 1.0

    def show_words(self, marks: DrawnMarks, y: _Floats, scale: float) -> None:
        """Point out the marks off the scale; no words where they are too many to tell."""
        off = np.flatnonzero((marks.bound != EXACT) & ~marks.apart).tolist()
        self._scale = scale * text_scale()
        self._off = tuple(
            _OffScale(
                float(marks.x[at]),
                float(y[at]),
                "LO" if marks.bound[at] == BELOW else "HI",
                int(marks.tail[at]),
                LEVELS[marks.level[at]],
            )
            for at in off
        )
        self.update()

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(font(Role.SMALL_STRONG))
        metrics = QFontMetricsF(painter.font())
        for mark in self._off:
            at = sight.point(mark.x, mark.y)
            arrow = QTransform.fromTranslate(at.x(), at.y()).scale(self._scale, self._scale)
            painter.fillPath(
                arrow.map(shapes.off_scale_path(mark.level)),
                QColor(tokens.level_colour(mark.level)),
            )
            if len(self._off) > _MOST_WORDS:
                continue
            gap, wide = SYMBOL_PX / 2 * self._scale, metrics.horizontalAdvance(mark.word)
            beyond = at.x() + gap + wide > sight.plot.right()
            # On the tail's free side, but never over the edge.
            left = at.x() - gap - wide if mark.tail > 0 or beyond else at.x() + gap
            painter.setPen(QColor(tokens.level_text(mark.level)))
            painter.drawText(QPointF(left, at.y() + metrics.capHeight() / 2), mark.word)


@dataclass(frozen=True, slots=True)
class _OffScale:
    x: float
    y: float
    word: str
    tail: int
    level: Level


_NOTHING: tuple[_OffScale, ...] = ()


def at_edges(marks: DrawnMarks, sight: Sight) -> _Floats:
    """The values, with those off the scale at the upper or lower edge of what is in sight."""
    y = marks.value.copy()
    off = marks.bound != EXACT
    if off.any():
        inset = _EDGE_PX * text_scale() / sight.per_y
        y[off & (marks.bound == BELOW)] = sight.bottom + inset
        y[off & (marks.bound == ABOVE)] = sight.top - inset
    return y


# pyqtgraph keeps a picture of each symbol by pen and brush, and knows these only by identity: with
# new ones each time every symbol would be drawn anew, and the old pictures kept.
@lru_cache(maxsize=64)
def _brush(colour: str) -> QBrush:
    return QBrush(QColor(colour))


@lru_cache(maxsize=1)
def _no_pen() -> QPen:
    return QPen(Qt.PenStyle.NoPen)


@lru_cache(maxsize=64)
def _symbol(kind: int) -> QPainterPath:
    """The outline of a kind of mark, in a square of side 1."""
    look, rest = divmod(kind, 6)
    if look == _APART:
        return shapes.cross_symbol()
    return shapes.symbol_path(LEVELS[look], Tail(rest // 2 - 1), doubt=bool(rest % 2))


@lru_cache(maxsize=8)
def _body(level: int) -> QPainterPath:
    body = shapes.body_path(LEVELS[level])
    return QTransform.fromScale(1 / SYMBOL_PX, 1 / SYMBOL_PX).map(body)
