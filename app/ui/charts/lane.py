"""The goals on a chart: a white lane cut into the ground, its limits by line and name."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
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
_MARK_REACH = 6.0

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class StepName:
    """A name inside the plot, at the line of a limit: "waking to 8.0".

    It stands in the first of its `places` (ends on the axis) where there is room for the text, else
    for the short one; where there is none, the bold number on the axis has to do.
    """

    places: tuple[tuple[float, float], ...]
    value: float
    text: str
    short: str
    above: bool  # over the line, else under it


class Lane:
    """Ground, lane and what has no goal: plain items in the chart's own numbers."""

    def __init__(self) -> None:
        self.ground = QGraphicsRectItem()
        self.lane = QGraphicsPathItem()
        self.bare = QGraphicsPathItem()
        for item in (self.ground, self.lane, self.bare):
            item.setPen(pg.mkPen(None))
            item.setZValue(Layer.LANE)
        self.ground.setZValue(Layer.LANE - 1)

    def show_lanes(self, lanes: Lanes, home: QRectF, tokens: Tokens) -> None:
        """Cut the lane into the ground; a part of the day without a goal is not shaded."""
        self.ground.setRect(home)
        self.ground.setBrush(QColor(tokens.out if lanes.has_goals else tokens.page))
        path, bare = QPainterPath(), QPainterPath()
        for step in to_ends(lanes.steps, home.left(), home.right()) if lanes.has_goals else ():
            low = home.top() if step.low is None else step.low
            high = home.bottom() if step.high is None else step.high
            into = path if step.has_goal else bare
            into.addRect(QRectF(step.start, low, step.end - step.start, high - low))
        for item, drawn, colour in ((self.lane, path, tokens.lane), (self.bare, bare, tokens.page)):
            item.setPath(drawn)
            item.setBrush(QColor(colour))


class Limits(PixelItem):
    """The edges of the lane, of earlier goals, and the low line, with the names inside the plot."""

    def __init__(self) -> None:
        super().__init__(Layer.LIMITS)
        self._lanes = Lanes((), (), None)
        self._names: tuple[StepName, ...] = ()
        self._x, self._y = np.empty(0), np.empty(0)
        self._boxes: tuple[QRectF, ...] = ()
        self._areas: Callable[[Sight], Sequence[QRectF]] = _nothing

    def show_limits(self, lanes: Lanes, names: Sequence[StepName] = ()) -> None:
        """Draw the limits of these goals, and these names inside the plot."""
        self._lanes, self._names = lanes, tuple(names)
        self.update()

    def keep_clear(self, x: _Floats, y: _Floats, boxes: Sequence[QRectF] = ()) -> None:
        """Write no name over these marks and boxes, in the chart's own numbers."""
        self._x, self._y, self._boxes = x, y, tuple(boxes)
        self.update()

    def keep_clear_of(self, areas: Callable[[Sight], Sequence[QRectF]]) -> None:
        """Write no name over what `areas` says of a sight, in px."""
        self._areas = areas
        self.update()

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        for earlier in self._lanes.earlier:
            pen = pg.mkPen(tokens.edge, width=1)
            pen.setDashPattern(list(_EARLIER_DASHES))
            painter.setPen(pen)
            _draw_edges(painter, sight, to_ends(earlier.steps, sight.left, sight.right))
        painter.setPen(pg.mkPen(tokens.edge, width=1))
        _draw_edges(painter, sight, to_ends(self._lanes.steps, sight.left, sight.right))
        if self._lanes.low_line is not None:
            pen = pg.mkPen(tokens.low, width=max(1.0, round(1.4 * text_scale())))
            pen.setDashPattern(list(_LOW_DASHES))
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            painter.setPen(pen)
            y = round(sight.y(self._lanes.low_line))
            painter.drawLine(QPointF(sight.plot.left(), y), QPointF(sight.plot.right(), y))
        self._paint_names(painter, sight, tokens)

    def names_placed(self, sight: Sight) -> list[tuple[str, QRectF]]:
        """The names that have room in a sight, in full or short, each with what it takes in px."""
        metrics = QFontMetricsF(font(Role.SMALL))
        found = []
        for name in self._names:
            for text in (name.text, name.short):
                wide = metrics.horizontalAdvance(text)
                at = self._room_for(wide, metrics.height(), name, sight)
                if at is not None:
                    found.append((text, QRectF(at.x(), at.y(), wide, metrics.height())))
                    break
        return found

    def _paint_names(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink3))
        ascent = QFontMetricsF(painter.font()).ascent()
        for text, area in self.names_placed(sight):
            painter.drawText(area.topLeft() + QPointF(0, ascent), text)

    def _room_for(self, wide: float, tall: float, name: StepName, sight: Sight) -> QPointF | None:
        """The upper left corner for a text of a size, clear of marks and boxes."""
        gap, y = 4 * text_scale(), sight.y(name.value)
        over, under = y - tall - 1, y + 1
        top = over if name.above else under
        if self._low_line_cuts(top, tall, sight):
            top = under if name.above else over
        for ends in name.places:
            left = max(sight.x(ends[0]), sight.plot.left()) + gap
            right = min(sight.x(ends[1]), sight.plot.right()) - gap - wide
            for start in (left, right, (left + right) / 2) if right >= left else ():
                if self._is_clear(QRectF(start, top, wide, tall), sight):
                    return QPointF(start, top)
        return None

    def _low_line_cuts(self, top: float, tall: float, sight: Sight) -> bool:
        line = self._lanes.low_line
        return line is not None and top - 1 <= sight.y(line) <= top + tall + 1

    def _is_clear(self, area: QRectF, sight: Sight) -> bool:
        reach = _MARK_REACH * text_scale()
        x, y = area.center().x(), area.center().y()
        across = abs((self._x - sight.left) * sight.per_x + sight.plot.left() - x)
        down = abs(sight.plot.bottom() - (self._y - sight.bottom) * sight.per_y - y)
        near = (across < area.width() / 2 + reach) & (down < area.height() / 2 + reach / 2)
        boxes = (
            QRectF(sight.point(b.left(), b.bottom()), sight.point(b.right(), b.top()))
            for b in self._boxes
        )
        taken = (*boxes, *self._areas(sight))
        return not near.any() and not any(area.intersects(box) for box in taken)


def _nothing(_sight: Sight) -> Sequence[QRectF]:
    return ()


def to_ends(steps: Sequence[Step], left: float, right: float) -> Sequence[Step]:
    """The same steps, the first and the last drawn out to the ends of an axis that is longer."""
    if not steps:
        return steps
    first = replace(steps[0], start=min(steps[0].start, left))
    drawn = [first, *steps[1:]]
    drawn[-1] = replace(drawn[-1], end=max(drawn[-1].end, right))
    return drawn


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
