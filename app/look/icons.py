"""The few icons of the program, drawn by ourselves as outlines; everything else is a word."""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap

from app.look.tokens import Tokens

ICON_PX = 16.0
_STROKE = 1.5
_RATIOS = (1, 1.25, 1.5, 1.75, 2, 3, 4)  # the screens' pixel ratios


class Icon(StrEnum):
    """The icons; the value is a name for tests and debugging."""

    LEFT = "left"
    RIGHT = "right"
    DOWN = "down"
    CHECK = "check"
    PLUS = "plus"
    LENS = "lens"
    CROSS = "cross"
    CROSSED_SQUARE = "crossed square"
    WAVE = "wave"
    THIMBLE = "thimble"


# Polylines in a square of 16: ((x, y), (x, y), ...), ...
_LINES: dict[Icon, tuple[tuple[tuple[float, float], ...], ...]] = {
    Icon.LEFT: (((10, 3.5), (5.5, 8), (10, 12.5)),),
    Icon.RIGHT: (((6, 3.5), (10.5, 8), (6, 12.5)),),
    Icon.DOWN: (((3.5, 6), (8, 10.5), (12.5, 6)),),
    Icon.CHECK: (((3, 8.5), (6.5, 12), (13, 4.5)),),
    Icon.PLUS: (((8, 3), (8, 13)), ((3, 8), (13, 8))),
    Icon.LENS: (((10.2, 10.2), (14, 14)),),
    Icon.CROSS: (((4, 4), (12, 12)), ((4, 12), (12, 4))),
    Icon.CROSSED_SQUARE: (
        ((3, 3), (13, 3), (13, 13), (3, 13), (3, 3)),
        ((3, 3), (13, 13)),
        ((3, 13), (13, 3)),
    ),
    Icon.WAVE: (),
    Icon.THIMBLE: (((2, 12.2), (14, 12.2), (14, 14.6), (2, 14.6), (2, 12.2)),),
}
_PITS = ((6.4, 5), (9.6, 5), (5.6, 7.4), (8, 7.4), (10.4, 7.4), (5.2, 9.8), (8, 9.8), (10.8, 9.8))


def icon_path(icon: Icon) -> QPainterPath:
    """The lines of an icon in a square of 16, to be stroked 1.5 wide."""
    path = QPainterPath()
    for line in _LINES[icon]:
        path.moveTo(*line[0])
        for point in line[1:]:
            path.lineTo(*point)
    if icon is Icon.LENS:
        path.addEllipse(QPointF(6.75, 6.75), 4.25, 4.25)
    elif icon is Icon.WAVE:
        path.moveTo(2, 9)
        path.cubicTo(4.5, 4.5, 6.2, 5.5, 8, 8)
        path.cubicTo(9.8, 10.5, 11.5, 11.5, 14, 7)
    elif icon is Icon.THIMBLE:
        path.moveTo(3, 12.2)
        path.lineTo(4.6, 2.6)
        path.quadTo(8, 0.6, 11.4, 2.6)
        path.lineTo(13, 12.2)
    return path


def paint_icon(
    painter: QPainter, icon: Icon, area: QRectF, colour: str, *, pits: str | None = None
) -> None:
    """Paint an icon into a square area; the thimble's pits may have a colour of their own."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(area.topLeft())
    painter.scale(area.width() / ICON_PX, area.height() / ICON_PX)
    pen = QPen(QColor(colour), _STROKE)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.strokePath(icon_path(icon), pen)
    if icon is Icon.THIMBLE:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(pits or colour))
        for x, y in _PITS:
            painter.drawEllipse(QPointF(x, y), 0.62, 0.62)
    painter.restore()


def icon_for(icon: Icon, tokens: Tokens, *, px: float = ICON_PX) -> QIcon:
    """An icon for actions and menus in the ink of a theme, drawn for every pixel ratio."""
    made = QIcon()
    for mode, colour in (
        (QIcon.Mode.Normal, tokens.ink),
        (QIcon.Mode.Selected, tokens.ink),
        (QIcon.Mode.Disabled, tokens.ink3),
    ):
        for ratio in _RATIOS:
            made.addPixmap(_pixmap(icon, px, ratio, colour, colour), mode)
    return made


def program_icon(tokens: Tokens) -> QIcon:
    """The thimble, for windows and the task bar: on a page of its own, whatever lies behind."""
    made = QIcon()
    for px in (16, 24, 32, 48, 64, 128, 256):
        made.addPixmap(_pixmap(Icon.THIMBLE, px, 1, tokens.ink, tokens.brass, tokens.page))
    return made


def _pixmap(
    icon: Icon, px: float, ratio: float, colour: str, pits: str, ground: str | None = None
) -> QPixmap:
    side = round(px * ratio)
    pixmap = QPixmap(side, side)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    area = QRectF(0, 0, side, side)
    if ground is not None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(ground))
        painter.drawRoundedRect(area, side / 6, side / 6)
        area = area.adjusted(side / 10, side / 10, -side / 10, -side / 10)
    paint_icon(painter, icon, area, colour, pits=pits)
    painter.end()
    pixmap.setDevicePixelRatio(ratio)
    return pixmap
