"""The cell of a table that shows the sign of a reading and its letters."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QPointF, QRect, Qt
from PySide6.QtGui import QColor, QFont, QPainter

from app.domain.glucose import Bound
from app.look.marks import MarkLook, paint_mark
from app.look.theme import tokens_now
from app.look.type import text_scale
from app.ui.controls.drawing import px

_SIGN, _GAP = 18, 5  # px at a text size of 13 px


def sign_width(letters_px: int) -> int:
    """The px that a sign takes with letters of a width beside it."""
    return px(_SIGN) + (px(_GAP) + letters_px if letters_px else 0)


def paint_sign(
    painter: QPainter, room: QRect, look: MarkLook, letters: str, strong: QFont, *, turned: bool
) -> None:
    """Paint them into `room`, the letters in `strong`; from its right side on where `turned`."""
    tokens, half = tokens_now(), px(_SIGN) / 2
    x = room.right() + 1 - half if turned else room.left() + half
    centre = QPointF(x, room.top() + room.height() / 2)
    # The letters say LO or HI; the arrow of the charts would reach into the next row.
    paint_mark(painter, centre, replace(look, off_scale=Bound.EXACT), tokens, text_scale())
    if not letters or look.is_apart:  # the cross says it, and the words beside it
        return
    painter.setFont(strong)
    painter.setPen(QColor(tokens.level_text(look.level)))
    beyond = px(_SIGN) + px(_GAP)
    rest = room.adjusted(0, 0, -beyond, 0) if turned else room.adjusted(beyond, 0, 0, 0)
    side = Qt.AlignmentFlag.AlignRight if turned else Qt.AlignmentFlag.AlignLeft
    # "Absolute": the sides are turned here, not once more by the painter.
    flags = side | Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignAbsolute
    painter.drawText(rest, flags, letters)
