"""Readings as marks: shape tells the level, the tail the meal, a hollow body the doubt."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QTransform

from app.look import shapes
from app.look.marks import DAY
from app.look.shapes import SYMBOL_PX, Tail
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.marks_drawn import LEVELS, DrawnMarks
from app.store.columns import ABOVE, BELOW, EXACT
from app.ui.charts.layers import Layer
from app.ui.charts.pixel_item import PixelItem
from app.ui.charts.sight import Sight

TAILS_UP_TO = 400  # with more marks than that, tails only blur
_EDGE_PX = 12.0
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
        codes = look * 12 + np.where(marks.apart, 0, (tails + 1) * 4 + marks.doubt * 2)
        codes += (marks.bound != EXACT) & ~marks.apart
        colours = [QColor(tokens.level_colour(level)) for level in LEVELS]
        colours.append(QColor(tokens.within))
        kinds, which = np.unique(codes, return_inverse=True)
        symbols = np.empty(kinds.size, dtype=object)
        brushes = np.empty(kinds.size, dtype=object)
        for at, kind in enumerate(kinds.tolist()):
            symbols[at] = _symbol(kind)
            brushes[at] = pg.mkBrush(colours[kind // 12])
        self.setData(
            x=marks.x, y=y, symbol=symbols[which], brush=brushes[which], size=size, pen=None
        )
        hollow = marks.doubt & ~marks.apart
        bodies = np.empty(len(LEVELS), dtype=object)
        bodies[:] = [_body(level) for level in range(len(LEVELS))]
        self.insides.setData(
            x=marks.x[hollow],
            y=y[hollow],
            symbol=bodies[marks.level[hollow]],
            brush=pg.mkBrush(tokens.page),
            size=size,
            pen=None,
        )


class EdgeWords(PixelItem):
    """ "LO" and "HI" beside the marks at the chart's edge, and the numbers where few are shown."""

    def __init__(self) -> None:
        super().__init__(Layer.WORDS)
        self._words: list[tuple[float, float, str, int, int]] = []

    def show_words(self, marks: DrawnMarks, y: _Floats) -> None:
        """Write a word beside each mark off the scale; none where they are too many to tell."""
        off = np.flatnonzero((marks.bound != EXACT) & ~marks.apart)
        self._words = []
        for at in off.tolist() if off.size <= _MOST_WORDS else ():
            word = "LO" if marks.bound[at] == BELOW else "HI"
            self._words.append(
                (float(marks.x[at]), float(y[at]), word, int(marks.tail[at]), int(marks.level[at]))
            )
        self.update()

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        painter.setFont(font(Role.SMALL_STRONG))
        metrics = QFontMetricsF(painter.font())
        for x, y, word, tail, level in self._words:
            at, gap = sight.point(x, y), SYMBOL_PX / 2 * text_scale()
            wide = metrics.horizontalAdvance(word)
            # On the tail's free side, but never over the edge.
            left = at.x() - gap - wide if tail > 0 or at.x() + gap + wide > sight.plot.right() else (
                at.x() + gap
            )
            painter.setPen(QColor(tokens.level_text(LEVELS[level])))
            painter.drawText(QPointF(left, at.y() + metrics.capHeight() / 2), word)


def at_edges(marks: DrawnMarks, sight: Sight) -> _Floats:
    """The values, with those off the scale at the upper or lower edge of what is in sight."""
    y = marks.value.copy()
    off = marks.bound != EXACT
    if off.any():
        inset = _EDGE_PX * text_scale() / sight.per_y
        y[off & (marks.bound == BELOW)] = sight.bottom + inset
        y[off & (marks.bound == ABOVE)] = sight.top - inset
    return y


def day_scale() -> float:
    """How much larger marks are on a chart of one day."""
    return DAY


@lru_cache(maxsize=256)
def _symbol(kind: int) -> QPainterPath:
    """The outline of a kind of mark, in a square of side 1."""
    look, rest = divmod(kind, 12)
    if look == _APART:
        return shapes.cross_symbol()
    level, tail = LEVELS[look], Tail(rest // 4 - 1)
    doubt, off_scale = bool(rest & 2), bool(rest & 1)
    path = shapes.mark_path(level, tail, doubt=doubt)
    if off_scale:
        path = path.united(shapes.off_scale_path(level))
    path.setFillRule(Qt.FillRule.WindingFill if not doubt else path.fillRule())
    return QTransform.fromScale(1 / SYMBOL_PX, 1 / SYMBOL_PX).map(path)


@lru_cache(maxsize=8)
def _body(level: int) -> QPainterPath:
    body = shapes.body_path(LEVELS[level])
    return QTransform.fromScale(1 / SYMBOL_PX, 1 / SYMBOL_PX).map(body)
