"""The upright lines of a chart and the thin lines that join one day's readings on demand."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QLineF, QPointF
from PySide6.QtGui import QColor, QPainter, QPen

from app.look.tokens import Tokens
from app.review.marks_drawn import DrawnMarks
from app.ui.charts.axes import BelowAxis
from app.ui.charts.layers import Layer
from app.ui.charts.pixel_item import PixelItem
from app.ui.charts.sight import Sight

_FAINT = 0.4


class Grid(PixelItem):
    """Upright hairlines at the ticks of the axis below; there are no level ones but the limits."""

    def __init__(self, axis: BelowAxis) -> None:
        super().__init__(Layer.GRID)
        self.axis = axis

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        painter.setPen(QPen(QColor(tokens.grid if not tokens.dark else tokens.line), 1))
        room = sight.plot.width() / 24
        painter.drawLines(
            [
                QLineF(
                    round(sight.x(at)), sight.plot.top(), round(sight.x(at)), sight.plot.bottom()
                )
                for at in self.axis.lines(sight.left, sight.right, room)
            ]
        )


class DayLines(PixelItem):
    """A thin line through the readings of each day, and a stronger one for the day pointed at."""

    def __init__(self) -> None:
        super().__init__(Layer.DAY_LINES)
        self._lines: list[tuple[float, float, float, float]] = []
        self._days: list[int] = []
        self._day: int | None = None

    def show_days(self, marks: DrawnMarks | None, y: np.ndarray | None = None) -> None:
        """Join the readings of each day, those set apart left out; None takes the lines away."""
        self._lines, self._days = [], []
        if marks is not None and y is not None:
            kept = np.flatnonzero(~marks.apart)
            order = kept[np.lexsort((marks.x[kept], marks.day[kept]))]
            day, x, value = marks.day[order], marks.x[order], y[order]
            joined = np.flatnonzero(day[1:] == day[:-1])
            self._days = day[joined].tolist()
            self._lines = list(
                zip(
                    x[joined].tolist(),
                    value[joined].tolist(),
                    x[joined + 1].tolist(),
                    value[joined + 1].tolist(),
                    strict=True,
                )
            )
        self.update()

    def point_at_day(self, day: int | None) -> None:
        """Strengthen the line of one day."""
        if day != self._day:
            self._day = day
            self.update()

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, len(self._lines) < 1000)
        faint = QColor(tokens.edge)
        faint.setAlphaF(_FAINT)
        painter.setPen(QPen(faint, 1))
        painter.drawLines([_line(sight, each) for each in self._lines])
        if self._day is None:
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(tokens.ink2), 1.2))
        strong = [
            line for line, day in zip(self._lines, self._days, strict=True) if day == self._day
        ]
        painter.drawLines([_line(sight, each) for each in strong])


def _line(sight: Sight, ends: tuple[float, float, float, float]) -> QLineF:
    x1, y1, x2, y2 = ends
    return QLineF(QPointF(sight.point(x1, y1)), QPointF(sight.point(x2, y2)))
