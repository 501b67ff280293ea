"""The hatch of what was never tested, at 45 degrees, 6 px apart: a blind spot is not blank."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

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
