"""The view of a chart: fixed, zoomed only with Ctrl and the wheel, moved only when zoomed."""

from __future__ import annotations

from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QRectF, Qt

_CLOSEST = 12  # times that one may zoom in


class FixedView(pg.ViewBox):  # type: ignore[misc]  # pyqtgraph ships no types
    """A ViewBox without menu and automatic range, that never shows more than its home."""

    def __init__(self) -> None:
        super().__init__(enableMenu=False, defaultPadding=0)
        self.disableAutoRange()
        self.setMouseEnabled(x=True, y=True)
        self._home = QRectF(0, 0, 1, 1)

    def set_home(self, home: QRectF) -> None:
        """Show this, and never more than this."""
        self._home = QRectF(home)
        self.setLimits(
            xMin=home.left(),
            xMax=home.right(),
            yMin=home.top(),
            yMax=home.bottom(),
            minXRange=home.width() / _CLOSEST,
            minYRange=home.height() / _CLOSEST,
        )
        self.go_home()

    def go_home(self) -> None:
        """Show all again."""
        self.setRange(self._home, padding=0)

    @property
    def is_home(self) -> bool:
        """Whether all is shown."""
        seen = self.viewRect()
        return bool(
            seen.width() > self._home.width() * 0.999
            and seen.height() > self._home.height() * 0.999
        )

    def wheelEvent(self, event: Any, axis: int | None = None) -> None:
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            super().wheelEvent(event, axis)
        else:
            event.ignore()

    def mouseDragEvent(self, event: Any, axis: int | None = None) -> None:
        if self.is_home or event.button() != Qt.MouseButton.LeftButton:
            event.ignore()
        else:
            super().mouseDragEvent(event, axis)
