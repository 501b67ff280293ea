"""Figures side by side, in as many columns as there is room for."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from app.ui.controls.drawing import px

_TILE_PX = 132
_GAP_PX = 16


class Tiles(QWidget):
    """Tiles of one width; where they do not fit in one row, rows of equal length."""

    def __init__(self, tiles: Sequence[QWidget], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.tiles = tuple(tiles)
        self._columns = 0
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._arrange(len(tiles))

    @property
    def columns(self) -> int:
        """How many stand side by side."""
        return self._columns

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        self._arrange(self._fitting(width))
        return self._grid.totalHeightForWidth(width)

    def minimumSizeHint(self) -> QSize:
        return QSize(px(_TILE_PX), 0)

    def sizeHint(self) -> QSize:
        return QSize(px(_TILE_PX) * len(self.tiles), self._grid.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange(self._fitting(event.size().width()))
        self._grid.activate()  # at once: a picture may be taken before the next event

    def _fitting(self, width: int) -> int:
        fits = max(1, (width + px(_GAP_PX)) // (px(_TILE_PX) + px(_GAP_PX)))
        rows = -(-len(self.tiles) // fits)
        return -(-len(self.tiles) // rows)

    def _arrange(self, columns: int) -> None:
        self._grid.setHorizontalSpacing(px(_GAP_PX))
        self._grid.setVerticalSpacing(px(12))
        if columns == self._columns:
            return
        for at in range(max(self._columns, columns)):
            self._grid.setColumnStretch(at, 1 if at < columns else 0)
        self._columns = columns
        for at, tile in enumerate(self.tiles):
            self._grid.removeWidget(tile)
            self._grid.addWidget(tile, at // columns, at % columns)
