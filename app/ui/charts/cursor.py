"""Which mark is pointed at: the ring round it, the nearest to the pointer, the next by keyboard."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter

from app.look.marks import paint_ring
from app.look.tokens import Tokens
from app.look.type import text_scale
from app.ui.charts.layers import Layer
from app.ui.charts.pixel_item import PixelItem
from app.ui.charts.sight import Sight

REACH_PX = 12.0


class Cursor(PixelItem):
    """The ring of ink round the mark that is pointed at."""

    def __init__(self) -> None:
        super().__init__(Layer.CURSOR)
        self._at: tuple[float, float] | None = None
        self._scale = 1.0

    def show_at(self, at: tuple[float, float] | None, scale: float = 1.0) -> None:
        """Ring a place of the chart; None takes the ring away."""
        self._at, self._scale = at, scale
        self.update()

    def paint_px(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        if self._at is not None:
            paint_ring(painter, sight.point(*self._at), tokens, self._scale * text_scale())


def nearest(
    x: NDArray[np.float64], y: NDArray[np.float64], sight: Sight, to: QPointF
) -> int | None:
    """The place of the mark nearest to a point in px, if within reach of the pointer."""
    if not x.size:
        return None
    across = (x - sight.left) * sight.per_x + sight.plot.left() - to.x()
    down = sight.plot.bottom() - (y - sight.bottom) * sight.per_y - to.y()
    far = across * across + down * down
    at = int(far.argmin())
    reach = REACH_PX * text_scale()
    return at if far[at] <= reach * reach else None


def stepped(at: int | None, step: int, count: int) -> int | None:
    """The mark after or before one, the first or last where none was pointed at.

    >>> stepped(None, 1, 3), stepped(None, -1, 3), stepped(2, 1, 3), stepped(0, 1, 3)
    (0, 2, 2, 1)
    """
    if not count:
        return None
    if at is None:
        return 0 if step > 0 else count - 1
    return min(max(at + step, 0), count - 1)
