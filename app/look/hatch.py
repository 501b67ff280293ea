"""The hatch of what was never tested, at 45 degrees, 6 px apart: a blind spot is not blank."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QImage, QPainter, QPen, QTransform

from app.look.tokens import Tokens

_STEP = 6.0 * math.sqrt(2)  # along an edge, so that the lines are 6 apart
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
        Times 6 units between the lines.
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


def hatch_brush(tokens: Tokens, scale: float = 1.0, *, ratio: float = 1.0) -> QBrush:
    """The hatch as a brush on clear ground, for items in px; `ratio` is the device pixel ratio.

    An item in units of data maps its area to the device first: a brush is scaled with the painter.
    """
    side = max(1, round(_STEP * scale * ratio))
    tile = QImage(side, side, QImage.Format.Format_ARGB32_Premultiplied)
    tile.fill(Qt.GlobalColor.transparent)
    painter = QPainter(tile)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(tokens.hatch), _THICK * scale * ratio))
    # The line through the middle and its two neighbours, whose corners fall into the tile.
    for k in (0, 1, 2):
        painter.drawLine(QLineF(k * side + side, -side, k * side - side, side))
    painter.end()
    brush = QBrush(tile)
    # A tile of whole device pixels stays sharp; its step is off by half a pixel at most.
    brush.setTransform(QTransform.fromScale(1 / ratio, 1 / ratio))
    return brush
