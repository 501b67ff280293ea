"""The goals on a chart: a white lane cut into the ground, its limits by line and name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath
from PySide6.QtWidgets import QGraphicsPathItem, QGraphicsRectItem

from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.lanes import Lanes, Step
from app.ui.charts.layers import Layer
from app.ui.charts.pixel_item import PixelItem
from app.ui.charts.sight import Sight

_LOW_DASHES = (5.0, 4.0)
_EARLIER_DASHES = (1.0, 3.0)


@dataclass(frozen=True, slots=True)
class StepName:
    """A name inside the plot, at the line of a step: "waking to 8.0"."""

    start: float
    end: float
    value: float
    text: str
    above: bool  # over the line, else under it


class Lane:
    """Ground and lane: two plain items in the chart's own numbers; no goals, no shading at all."""

    def __init__(self) -> None:
        self.ground = QGraphicsRectItem()
        self.lane = QGraphicsPathItem()
        for item in (self.ground, self.lane):
            item.setPen(pg.mkPen(None))
            item.setZValue(Layer.LANE)
        self.ground.setZValue(Layer.LANE - 1)

    def show_lanes(self, lanes: Lanes, home: QRectF, tokens: Tokens) -> None:
        """Cut the lane into the ground; a part of the day without a goal is not shaded."""
        self.ground.setRect(home)
        self.ground.setBrush(QColor(tokens.out if lanes.has_goals else tokens.page))
        path = QPainterPath()
        for step in lanes.steps if lanes.has_goals else ():
            low = home.top() if step.low is None else step.low
            high = home.bottom() if step.high is None else step.high
            path.addRect(QRectF(step.start, low, step.end - step.start, high - low))
        path.setFillRule(Qt.FillRule.WindingFill)
        self.lane.setPath(path)
        self.lane.setBrush(QColor(tokens.lane))


class Limits(PixelItem):
    """The edges of the lane, of earlier goals, and the low line, with the names inside the plot."""

    def __init__(self) -> None:
        super().__init__(Layer.LIMITS)
        self._lanes = Lanes((), (), None)
        self._names: tuple[StepName, ...] = ()

    def show_limits(self, lanes: Lanes, names: Sequence[StepName] = ()) -> None:
        """Draw the limits of these goals, and these names inside the plot."""
        self._lanes, self._names = lanes, tuple(names)
        self.update()

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        for earlier in self._lanes.earlier:
            pen = pg.mkPen(tokens.edge, width=1)
            pen.setDashPattern(list(_EARLIER_DASHES))
            painter.setPen(pen)
            _draw_edges(painter, sight, earlier.steps)
        painter.setPen(pg.mkPen(tokens.edge, width=1))
        _draw_edges(painter, sight, self._lanes.steps)
        if self._lanes.low_line is not None:
            pen = pg.mkPen(tokens.low, width=max(1.0, round(1.4 * text_scale())))
            pen.setDashPattern(list(_LOW_DASHES))
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            painter.setPen(pen)
            y = round(sight.y(self._lanes.low_line))
            painter.drawLine(QPointF(sight.plot.left(), y), QPointF(sight.plot.right(), y))
        self._paint_names(painter, sight, tokens)

    def _paint_names(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink3))
        metrics, gap = QFontMetricsF(painter.font()), 4 * text_scale()
        for name in self._names:
            left = max(sight.x(name.start), sight.plot.left()) + gap
            right = min(sight.x(name.end), sight.plot.right()) - gap
            if metrics.horizontalAdvance(name.text) > right - left:
                continue  # its number stands on the axis, in bold
            y = sight.y(name.value)
            line = y - gap - metrics.descent() if name.above else y + gap / 2 + metrics.ascent()
            painter.drawText(QPointF(left, line), name.text)


def _draw_edges(painter: QPainter, sight: Sight, steps: Sequence[Step]) -> None:
    """Level edges, joined upright where the goal changes; on whole px, so that they are sharp."""
    for ends in ([step.low for step in steps], [step.high for step in steps]):
        before: float | None = None
        for step, end in zip(steps, ends, strict=True):
            left, right = round(sight.x(step.start)), round(sight.x(step.end))
            if end is not None:
                y = round(sight.y(end))
                painter.drawLine(QPointF(left, y), QPointF(right, y))
                if before is not None and before != end:
                    painter.drawLine(QPointF(left, round(sight.y(before))), QPointF(left, y))
            before = end
