"""The sign of a planned test: what became of it, told by shape before any colour."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.look.icons import Icon, paint_icon
from app.look.tokens import Tokens
from app.look.type import text_scale
from app.statistics.schedule.settle import DOUBLED, ELSEWHERE, State

if TYPE_CHECKING:
    from app.review.schedule import Planned

SIDE = 11.0  # px of the square at a text size of 13 px
_DOT, _STROKE = 5.0, 1.8
_DASH = (1.6, 1.4)  # in widths of the pen


class Sign(StrEnum):
    """What became of a planned test, or that it was planned by nobody."""

    DONE = "done"
    LATE = "done late"
    ELSEWHERE = "done elsewhere"
    OPEN = "to come"
    OVERDUE = "due"
    NOTHING = "nothing written"
    ASIDE = "not expected"
    EXTRA = "extra"


def sign_of(planned: Planned) -> Sign | None:
    """The sign of a planned test; None for one that another plan asks for."""
    settled = planned.settled
    if settled.why == ELSEWHERE:
        return Sign.ELSEWHERE
    if settled.why == DOUBLED:
        return None
    return {
        State.DONE: Sign.DONE,
        State.DONE_LATE: Sign.LATE,
        State.UPCOMING: Sign.OPEN,
        State.DUE: Sign.OVERDUE,
        State.MISSED: Sign.NOTHING,
        State.NOT_EXPECTED: Sign.ASIDE,
    }[settled.state]


def paint_sign(painter: QPainter, centre: QPointF, sign: Sign, tokens: Tokens) -> None:
    """Paint a sign on whole pixels about a point; the painter is left as it was."""
    scale = text_scale()
    side = round(SIDE * scale)
    box = QRectF(round(centre.x() - side / 2), round(centre.y() - side / 2), side, side)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    if sign is Sign.EXTRA:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(tokens.ink2))
        painter.drawEllipse(box.center(), _DOT * scale / 2, _DOT * scale / 2)
    elif sign is Sign.ASIDE:
        painter.fillRect(
            QRectF(box.left() + side / 4, round(box.center().y()), side / 2, max(1, round(scale))),
            QColor(tokens.ink3),
        )
    elif sign is Sign.DONE:
        painter.fillRect(box, QColor(tokens.ink2))
    elif sign is Sign.NOTHING:
        pen = QPen(QColor(tokens.edge), scale)
        pen.setDashPattern(_DASH)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        _outline(painter, box, pen)
    else:
        _paint_outlined(painter, box, sign, tokens, scale)
    painter.restore()


def _paint_outlined(
    painter: QPainter, box: QRectF, sign: Sign, tokens: Tokens, scale: float
) -> None:
    """An outline, and what stands in it: half of it done late, a check, a core that is due."""
    brass = sign in (Sign.OPEN, Sign.OVERDUE)
    colour = QColor(tokens.brass if brass else tokens.ink2)
    pen = QPen(colour, _STROKE * scale if brass else 1.2 * scale)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    _outline(painter, box, pen)
    if sign is Sign.LATE:  # the lower half: it was done in the second part of its time
        half = QRectF(box)
        half.setTop(round(box.center().y()))
        painter.fillRect(half, colour)
    elif sign is Sign.ELSEWHERE:
        paint_icon(painter, Icon.CHECK, box.adjusted(1, 1, -1, -1), tokens.ink2)
    elif sign is Sign.OVERDUE:
        inner = box.width() / 3.4
        painter.fillRect(box.adjusted(inner, inner, -inner, -inner), colour)


def _outline(painter: QPainter, box: QRectF, pen: QPen) -> None:
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    half = pen.widthF() / 2
    painter.drawRect(box.adjusted(half, half, -half, -half))
