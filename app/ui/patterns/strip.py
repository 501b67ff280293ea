"""The tests of one slot in the order of time, as small marks between the lines of its limits."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.domain.levels import Level
from app.look.drawn import look_at
from app.look.marks import STRIP, paint_mark
from app.look.tokens import Tokens
from app.look.type import text_scale
from app.review.marks_drawn import LEVELS, DrawnMarks
from app.review.patterns_shown import PatternRow
from app.review.scale import GlucoseScale
from app.store.columns import ABOVE, BELOW

_INSET_X, _INSET_Y = 6.0, 6.0  # px at a text size of 13 px: half a mark
_MANY = 400  # more marks than this are drawn as dots; their height still tells the level
_DOT = 2.2
_TALLEST = 100_000.0  # px: no page is as high


class TimeSight:
    """Where days and values lie in a strip. Time runs to the right, in every language."""

    def __init__(self, area: QRectF, scale: GlucoseScale, days: int) -> None:
        self.area, self._scale, self._days = area, scale, max(1, days)
        inset = _INSET_X * text_scale()
        self._left, self._width = area.left() + inset, max(1.0, area.width() - 2 * inset)

    def x(self, day: NDArray[np.float64]) -> NDArray[np.float64]:
        """The px of days since the start of the period."""
        return np.asarray(self._left + self._width * day / self._days)

    def y(self, value: NDArray[np.float64] | float) -> NDArray[np.float64]:
        """The px of values, kept inside the strip."""
        scale, inset = self._scale, _INSET_Y * text_scale()
        part = np.clip((np.asarray(value) - scale.low) / (scale.high - scale.low), 0.0, 1.0)
        room = self.area.height() - 2 * inset
        return np.asarray(self.area.bottom() - inset - room * part)


def paint_time_strip(painter: QPainter, sight: TimeSight, row: PatternRow, tokens: Tokens) -> None:
    """Paint the lane between both lines and every test of the slot."""
    painter.save()
    painter.setClipRect(sight.area)
    _paint_lane(painter, sight, row, tokens)
    marks = row.marks
    value = np.select([marks.bound == BELOW, marks.bound == ABOVE], [-1e9, 1e9], marks.value)
    x, y = sight.x(marks.x), sight.y(value)
    if len(marks) > _MANY:
        _paint_dots(painter, x, y, marks, tokens)
    else:
        for at in range(len(marks)):
            # Its row says which meal, so no tails; values off the scale touch the edge.
            look = look_at(marks, at, tail=False)
            paint_mark(painter, QPointF(x[at], y[at]), look, tokens, STRIP * text_scale())
    painter.restore()


def _paint_lane(painter: QPainter, sight: TimeSight, row: PatternRow, tokens: Tokens) -> None:
    area = sight.area
    painter.fillRect(area, QColor(tokens.out))
    top = area.top() if row.high is None else float(sight.y(row.high))
    bottom = area.bottom() if row.low is None else float(sight.y(row.low))
    painter.fillRect(QRectF(area.left(), top, area.width(), bottom - top), QColor(tokens.lane))
    for line, at in ((row.high, top), (row.low, bottom)):
        if line is not None:
            painter.fillRect(QRectF(area.left(), round(at), area.width(), 1), QColor(tokens.edge))


def _paint_dots(
    painter: QPainter,
    x: NDArray[np.float64],
    y: NDArray[np.float64],
    marks: DrawnMarks,
    tokens: Tokens,
) -> None:
    """One dot for each px that has a mark, the farther levels over the others."""
    middle = LEVELS.index(Level.IN_RANGE)
    for code in sorted(range(len(LEVELS)), key=lambda each: abs(each - middle)):
        of_level = marks.level == code
        # One number for each px, since numpy looks for equal rows a hundred times slower.
        cells = np.unique(np.round(x[of_level]) * _TALLEST + np.round(y[of_level]))
        pen = QPen(QColor(tokens.level_colour(LEVELS[code])), _DOT * text_scale())
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        places = zip((cells // _TALLEST).tolist(), (cells % _TALLEST).tolist(), strict=True)
        painter.drawPoints([QPointF(left, top) for left, top in places])
