"""The hatch of what was never tested: lines at 45 degrees, 6 px apart; a blind spot is not blank."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QImage, QPainter, QPen, QTransform

from app.look.tokens import Tokens

_STEP = 6.0
_THICK = 1.0


def paint_hatch(painter: QPainter, area: QRectF, tokens: Tokens, scale: float = 1.0) -> None:
    """Hatch `area` with lines, sharp on paper and on every screen; neighbours' lines meet.

    Parameters
    ----------
    painter : QPainter
        Left as it was.
    area : QRectF
        In the painter's units.
    tokens : Tokens
        The colours.
    scale : float, default 1.0
        Times 6 units between the lines, measured along the edges.
    """
    step = _STEP * scale
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setClipRect(area, Qt.ClipOperation.IntersectClip)
    painter.setPen(QPen(QColor(tokens.hatch), _THICK * scale))
    # Every line is x + y = k · step, counted from the origin: so hatched neighbours join.
    first = math.floor((area.left() + area.top()) / step)
    last = math.ceil((area.right() + area.bottom()) / step)
    painter.drawLines(
        [
            QLineF(k * step - area.bottom(), area.bottom(), k * step - area.top(), area.top())
            for k in range(first, last + 1)
        ]
    )
    painter.restore()


def hatch_brush(tokens: Tokens, *, ratio: float = 1.0) -> QBrush:
    """The hatch as a brush on clear ground, for chart items; `ratio` is the device pixel ratio."""
    side = max(1, round(_STEP * ratio))
    tile = QImage(side, side, QImage.Format.Format_ARGB32_Premultiplied)
    tile.fill(Qt.GlobalColor.transparent)
    painter = QPainter(tile)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(tokens.hatch), _THICK * ratio))
    # The line through the middle and its two neighbours, whose corners fall into the tile.
    for k in (0, 1, 2):
        painter.drawLine(QLineF(k * side + side, -side, k * side - side, side))
    painter.end()
    brush = QBrush(tile)
    brush.setTransform(QTransform.fromScale(_STEP / side, _STEP / side))
    return brush
