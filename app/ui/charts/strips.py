"""What stands in rows below a plot: the rail of hours never tested, hours, brackets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
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


@dataclass(frozen=True, slots=True)
class Spell:
    """A low spell: from its first low to the reading that closed it, with its words."""

    start: float
    end: float
    words: str


class SpellBrackets:
    """A bracket below each low spell: the one line that joins readings."""

    def __init__(self, name: str = "") -> None:
        self.name = name
        self.spells: Sequence[Spell] = ()

    def height(self) -> float:
        """Its height in px at the text size in force; nothing without a spell."""
        return QFontMetricsF(font(Role.SMALL)).height() + 4 if self.spells else 0.0

    def paint(self, painter: QPainter, top: float, sight: Sight, tokens: Tokens) -> None:
        """Draw each bracket, with its words at the right, or left where there is no room."""
        painter.setFont(font(Role.SMALL))
        metrics = QFontMetricsF(painter.font())
        tall, gap = 6 * text_scale(), 6 * text_scale()
        middle = top + metrics.height() / 2 + 2
        for spell in self.spells:
            left = round(sight.x(spell.start))
            right = max(round(sight.x(spell.end)), left + 6)
            painter.setPen(pg.mkPen(tokens.low, width=max(1, round(1.4 * text_scale()))))
            foot = round(middle + tall / 2)
            painter.drawPolyline(
                [QPointF(x, y) for x, y in ((left, foot - tall), (left, foot))]
                + [QPointF(x, y) for x, y in ((right, foot), (right, foot - tall))]
            )
            painter.setPen(QColor(tokens.low_text))
            wide = metrics.horizontalAdvance(spell.words)
            fits = right + gap + wide <= sight.plot.right()
            start = right + gap if fits else left - gap - wide
            area = QRectF(start, top, wide + 1, metrics.height() + 4)
            painter.drawText(area, Qt.AlignmentFlag.AlignVCenter, spell.words)
