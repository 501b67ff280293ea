"""A chart item that is painted in px, whole ones where it matters, inside the plot."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pyqtgraph as pg
from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.look.theme import tokens_now
from app.look.tokens import Tokens
from app.ui.charts.layers import Layer
from app.ui.charts.sight import Sight

if TYPE_CHECKING:
    from app.ui.charts.frame import ChartFrame


class PixelItem(pg.GraphicsObject):  # type: ignore[misc]  # pyqtgraph ships no types
    """Something in a chart; a subclass writes `paint_px`. Give it to `ChartFrame.add`."""

    def __init__(self, layer: Layer) -> None:
        super().__init__()
        self.setZValue(layer)
        self._chart: ChartFrame | None = None

    def put_on(self, chart: ChartFrame) -> None:
        """Remember whose sight it is painted in; called by the chart."""
        self._chart = chart

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:  # noqa: ARG002
        """Paint in px of the chart, clipped to the plot; the painter is restored afterwards."""
        raise RuntimeError(f"{type(self).__name__} paints nothing")

    def boundingRect(self) -> QRectF:
        if self._chart is None:
            return QRectF()
        sight = self._chart.sight()
        return QRectF(sight.left, sight.bottom, sight.right - sight.left, sight.top - sight.bottom)

    def viewRangeChanged(self) -> None:
        self.prepareGeometryChange()

    def viewTransformChanged(self) -> None:
        self.prepareGeometryChange()

    def paint(
        self, painter: QPainter, _option: QStyleOptionGraphicsItem, _widget: QWidget | None = None
    ) -> None:
        if self._chart is None:
            return
        back, possible = self.sceneTransform().inverted()
        if not possible:
            return
        painter.save()
        painter.setTransform(back, True)  # from here on in px of the scene, which are the widget's
        self.paint_px(painter, self._chart.sight(), tokens_now())
        painter.restore()
