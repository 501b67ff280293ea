"""What stands in rows below a plot: the rail of hours never tested, and the hours."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFontMetricsF, QPainter

from app.look.hatch import paint_hatch
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.ui.charts.axes import BelowAxis
from app.ui.charts.sight import Sight


class Strip(Protocol):
    """A row below the plot, as wide as it; `name` stands at its right end."""

    name: str

    def height(self) -> float:
        """Its height in px at the text size in force; 0 where there is nothing to show."""

    def paint(self, painter: QPainter, top: float, sight: Sight, tokens: Tokens) -> None:
        """Paint it with its upper edge at `top`."""


class UntestedRail:
    """Hatch below the hours that were never tested: a blind spot is not blank."""

    def __init__(self, name: str = "") -> None:
        self.name = name
        self.stretches: tuple[tuple[float, float], ...] = ()

    def height(self) -> float:
        """Its height in px at the text size in force."""
        return 12.0 * text_scale()

    def paint(self, painter: QPainter, top: float, sight: Sight, tokens: Tokens) -> None:
        """Hatch each stretch."""
        tall = 8 * text_scale()
        for start, end in self.stretches:
            left = max(sight.x(start), sight.plot.left())
            right = min(sight.x(end), sight.plot.right())
            if right > left:
                area = QRectF(left, top + 3 * text_scale(), right - left, tall)
                paint_hatch(painter, area, tokens)


class AxisLabels:
    """The hours or column names below the plot."""

    def __init__(self, axis: BelowAxis) -> None:
        self.name = ""
        self.axis = axis

    def height(self) -> float:
        """Its height in px at the text size in force."""
        lines = max(
            (
                tick.text.count("\n") + 1
                for tick in self.axis.ticks(self.axis.low, self.axis.high, 99)
            ),
            default=1,
        )
        return QFontMetricsF(font(Role.SMALL)).height() * lines + 6 * text_scale()

    def paint(self, painter: QPainter, top: float, sight: Sight, tokens: Tokens) -> None:
        """Write each label below its place."""
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink3))
        metrics = QFontMetricsF(painter.font())
        room = self.room(sight, metrics)
        for tick in self.axis.ticks(sight.left, sight.right, room):
            x, tall = sight.x(tick.at), metrics.height()
            for row, line in enumerate(tick.text.split("\n")):
                wide = metrics.horizontalAdvance(line)
                painter.drawText(
                    QPointF(x - wide / 2, top + 4 * text_scale() + metrics.ascent() + row * tall),
                    line,
                )

    def room(self, sight: Sight, metrics: QFontMetricsF) -> float:
        """How many labels fit side by side."""
        widest = max(
            (
                metrics.horizontalAdvance(line)
                for tick in self.axis.ticks(self.axis.low, self.axis.high, 99)
                for line in tick.text.split("\n")
            ),
            default=1.0,
        )
        return sight.plot.width() / (widest * 1.25)
