"""The bar of a median: ink, with an edge of the lane's colour that keeps it apart from marks."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter

from app.look.tokens import Tokens

MEDIAN_PX = 2.6  # how thick it is at a text size of 13 px
_CASING = 1.0


def paint_median(painter: QPainter, bar: QRectF, tokens: Tokens, *, upright: bool = False) -> None:
    """Paint a bar; `upright` where values run across."""
    across, along = (_CASING, 0.0) if upright else (0.0, _CASING)
    painter.fillRect(bar.adjusted(-across, -along, across, along), QColor(tokens.lane))
    painter.fillRect(bar, QColor(tokens.ink))
