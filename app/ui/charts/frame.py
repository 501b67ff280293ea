"""The frame of a chart: fixed axes, ground and lane, limits, and what stands round the plot."""

from __future__ import annotations

from collections.abc import Sequence

import pyqtgraph as pg
from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from app.look.theme import follow_theme, tokens_now
from app.review.lanes import Lanes
from app.review.scale import GlucoseScale
from app.ui.charts.axes import BelowAxis, HourAxis
from app.ui.charts.furniture import EndName, Furniture
from app.ui.charts.grid import Grid
from app.ui.charts.lane import Lane, Limits, StepName
from app.ui.charts.pixel_item import PixelItem
from app.ui.charts.sight import Sight
from app.ui.charts.strips import Strip
from app.ui.charts.view_box import FixedView

_NO_LANES = Lanes((), (), None)


class ChartFrame(pg.PlotWidget):  # type: ignore[misc]  # pyqtgraph ships no types
    """A chart without readings yet. Signals: laid_out() places in px are other than before."""

    laid_out = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        self._view = FixedView()
        super().__init__(parent, viewBox=self._view, enableMenu=False)
        self.hideButtons()
        self.plotItem.showAxes(False)
        self.plotItem.layout.setSpacing(0)
        # Time runs to the right in every language; in the other direction the margins would swap.
        self.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        self.plotItem.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        self._below: BelowAxis = HourAxis()
        self._scale: GlucoseScale | None = None
        self._lanes = _NO_LANES
        self._lane, self._limits, self._grid = Lane(), Limits(), Grid(self._below)
        self._furniture = Furniture()
        self._told: Sight | None = None
        for item in (self._lane.ground, self._lane.lane, self._lane.bare):
            self._view.addItem(item, ignoreBounds=True)
        self.add(self._grid)
        self.add(self._limits)
        self.scene().addItem(self._furniture)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._view.sigRangeChanged.connect(self._on_range_changed)
        self._view.sigResized.connect(self._on_range_changed)
        follow_theme(self._restyle)

    def add(self, item: PixelItem) -> None:
        """Add an item of one's own to the plot; its layer says what it lies over."""
        item.put_on(self)
        self._view.addItem(item, ignoreBounds=True)

    def set_axes(self, below: BelowAxis, scale: GlucoseScale) -> None:
        """Fix what the chart shows; a zoom ends."""
        self._below, self._scale = below, scale
        self._grid.axis, self._furniture.glucose = below, scale
        self._arrange()
        self._view.set_home(self._home())
        self._place_all()

    def set_strips(self, strips: Sequence[Strip]) -> None:
        """The rows below the plot, from above; call `arrange` after one of them changed."""
        self._furniture.strips = tuple(strips)
        self._arrange()

    def arrange(self) -> None:
        """Take in that a row below is other than before."""
        self._arrange()
        self._furniture.update()

    def show_lanes(
        self, lanes: Lanes, ends: Sequence[EndName] = (), names: Sequence[StepName] = ()
    ) -> None:
        """Draw the goals, with the names of lines at the right end and inside the plot."""
        self._lanes = lanes
        self._furniture.end_names = tuple(ends)
        self._limits.show_limits(lanes, names)
        self._lane.show_lanes(lanes, self._home(), tokens_now())
        self._arrange()

    def close(self) -> bool:
        """Close like any widget: the base class takes its scene apart, and Qt then crashes."""
        return QWidget.close(self)

    def sight(self) -> Sight:
        """Where things lie just now."""
        (left, right), (bottom, top) = self._view.viewRange()
        plot = self._view.mapRectToScene(self._view.rect())
        return Sight(plot, left, right, bottom, top)

    def _home(self) -> QRectF:
        low, high = (0.0, 1.0) if self._scale is None else (self._scale.low, self._scale.high)
        return QRectF(self._below.low, low, self._below.high - self._below.low, high - low)

    def _arrange(self) -> None:
        margins = self._furniture.margins(self.width())
        self.plotItem.layout.setContentsMargins(
            round(margins.left), round(margins.top), round(margins.right), round(margins.bottom)
        )
        self.plotItem.layout.activate()
        self._tell_furniture()

    def _tell_furniture(self) -> None:
        sight, size = self.sight(), QRectF(0, 0, self.width(), self.height())
        self._furniture.lay_out(size, sight)
        if sight != self._told:
            self._told = sight
            self.laid_out.emit()

    def _place_all(self) -> None:
        """Put everything where the axes now want it; a subclass adds what it draws."""
        self._lane.show_lanes(self._lanes, self._home(), tokens_now())

    def _on_range_changed(self, *_what: object) -> None:
        self._tell_furniture()
        self._grid.update()

    def _restyle(self) -> None:
        self.setBackground(tokens_now().page)
        self._arrange()
        self._place_all()
        self.viewport().update()

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        super().resizeEvent(event)
        if "_furniture" in self.__dict__:  # the base class resizes while it is made
            self._arrange()

    def wheelEvent(self, event: QWheelEvent) -> None:
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            super().wheelEvent(event)
        else:
            event.ignore()  # the page scrolls

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._show_focus(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._show_focus(False)

    def _show_focus(self, on: bool) -> None:
        self._furniture.focused = on
        self._furniture.update()
