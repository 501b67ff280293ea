"""Islands on a chart: the middle half as a box with an edge, the median as a bar of ink over it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter

from app.look.median import MEDIAN_PX, paint_median
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.ui.charts.layers import Layer
from app.ui.charts.pixel_item import PixelItem
from app.ui.charts.sight import Sight


@dataclass(frozen=True, slots=True)
class Island:
    """A box from `start` to `end`; ends off the scale are infinite, a quartile may be missing."""

    start: float
    end: float
    low: float | None
    median: float | None
    high: float | None
    median_name: str = ""
    box_name: str = ""


class Boxes(PixelItem):
    """The middle halves. The bars are an item of their own, since they lie over the readings."""

    def __init__(self, *, edged: bool = True, turns: float | None = None) -> None:
        super().__init__(Layer.BOXES)
        self._islands: tuple[Island, ...] = ()
        self._edged, self._turns, self._filled = edged, turns, True
        self.bars = _Bars(turns)

    def show_islands(self, islands: Sequence[Island], *, filled: bool = True) -> None:
        """Draw these; on an axis that goes round, a box over its end comes in again.

        Over a density the boxes are not filled: they would hide it.
        """
        self._islands, self._filled = tuple(islands), filled
        self.bars.show_islands(self._islands)
        self.update()

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        edge = tokens.spe if self._filled else tokens.ink
        painter.setPen(pg.mkPen(edge, width=1) if self._edged else pg.mkPen(None))
        painter.setBrush(QColor(tokens.sp1) if self._filled else Qt.BrushStyle.NoBrush)
        for island in self._islands:
            if island.low is None or island.high is None:
                continue
            top, bottom = _y(sight, island.high), _y(sight, island.low)
            for left, right in _spans(sight, island, self._turns):
                painter.drawRect(QRectF(left, top, right - left, bottom - top))
        _paint_names(painter, sight, tokens, self._islands)


class _Bars(PixelItem):
    """The medians."""

    def __init__(self, turns: float | None) -> None:
        super().__init__(Layer.MEDIANS)
        self._islands: tuple[Island, ...] = ()
        self._turns = turns

    def show_islands(self, islands: Sequence[Island]) -> None:
        """Draw the bars of these islands."""
        self._islands = tuple(islands)
        self.update()

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        thick = MEDIAN_PX * text_scale()
        for island in self._islands:
            if island.median is None:
                continue
            top = _y(sight, island.median) - thick / 2
            for left, right in _spans(sight, island, self._turns):
                paint_median(painter, QRectF(left, top, right - left, thick), tokens)


def _y(sight: Sight, value: float) -> float:
    """The px of a value; beyond the plot where it is off the scale, so that the box has no end."""
    beyond = 8.0
    return min(
        max(round(sight.y(min(max(value, -1e6), 1e6))), sight.plot.top() - beyond),
        sight.plot.bottom() + beyond,
    )


def _spans(sight: Sight, island: Island, turns: float | None) -> list[tuple[float, float]]:
    shifts = (0.0,) if turns is None else (-turns, 0.0, turns)
    return [
        (round(sight.x(island.start + shift)), round(sight.x(island.end + shift)))
        for shift in shifts
        if island.end + shift > sight.left and island.start + shift < sight.right
    ]


def _paint_names(
    painter: QPainter, sight: Sight, tokens: Tokens, islands: Sequence[Island]
) -> None:
    """The words "median" and "middle half", once, left of the island that has them."""
    gap = 6 * text_scale()
    for island in islands:
        left = sight.x(island.start) - gap
        for name, role, ink, top in (
            (island.median_name, Role.SMALL_STRONG, tokens.ink, name_tops(island, sight)[0]),
            (island.box_name, Role.SMALL, tokens.ink2, name_tops(island, sight)[1]),
        ):
            if not name or top is None:
                continue
            painter.setFont(font(role))
            painter.setPen(QColor(ink))
            metrics = QFontMetricsF(painter.font())
            line = top + metrics.ascent()
            painter.drawText(QPointF(left - metrics.horizontalAdvance(name), line), name)


def name_tops(island: Island, sight: Sight) -> tuple[float | None, float | None]:
    """The upper edges, in px, of the words for the median and for the box, which never meet.

    The one stands level with the bar, the other just below the upper edge of the box; above the
    first where the box is too low for both, or below it at the top of the plot.
    """
    strong, small = (QFontMetricsF(font(role)) for role in (Role.SMALL_STRONG, Role.SMALL))
    median = box = None
    if island.median is not None:
        y = _y(sight, island.median)
        median = max(y + strong.capHeight() / 2 - strong.ascent(), sight.plot.top())
    if island.high is not None:
        box = max(float(_y(sight, island.high)), sight.plot.top())
    if median is None or box is None:
        return median, box
    if median - small.height() < box < median + strong.height():
        box = median - small.height()
        if box < sight.plot.top():
            box = median + strong.height()
    return median, box
