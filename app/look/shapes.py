"""The outlines of the marks, around (0, 0), in px at a text size of 13 px.

Shape tells the level and the tail tells the meal, so a mark is read without colour and in grey
print. Paths are plain geometry: a painter, a chart item or a printed page fills them alike.
"""

from __future__ import annotations

from enum import Enum

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainterPath, QPainterPathStroker, QPolygonF, QTransform

from app.domain.levels import Level
from app.domain.marks import Mark

SYMBOL_PX = 20.0  # the square around every shape with its bar and tail: the size of a chart's spot

_DISC = 6.5
_TRIANGLE = (10.5, 9.5)
_FAR_TRIANGLE = (11.0, 9.5)
_BAR = 2.0
_BAR_GAP = 1.6
_TAIL = 5.0
_TAIL_THICK = 1.8
_TAIL_BEYOND = 3.75  # how far the tail of a triangle reaches past its corner
_CROSS = 7.0
_CROSS_THICK = 1.7
_CONTROL = 8.0
_KETONE = 10.0
_EDGE = 1.4
_DASHES = (1.2, 1.0)  # with square caps these would close up to a solid edge


class Tail(Enum):
    """Which way the tail points: at the meal. Time runs to the right, in every language."""

    NONE = 0
    RIGHT = 1
    LEFT = -1


def tail_of(mark: Mark | None) -> Tail:
    """The tail of a mark: right before a meal (waking and fasting too), left after one."""
    if mark is None:
        return Tail.NONE
    if mark.is_before_meal:
        return Tail.RIGHT
    return Tail.LEFT if mark.is_after_meal else Tail.NONE


def body_path(level: Level) -> QPainterPath:
    """The disc or triangle of a level, without bar and tail: what is hollow when in doubt."""
    path = QPainterPath()
    if level is Level.IN_RANGE:
        path.addEllipse(QPointF(0, 0), _DISC / 2, _DISC / 2)
        return path
    width, height = _FAR_TRIANGLE if _is_far(level) else _TRIANGLE
    up = -1 if _is_high(level) else 1  # y grows downwards
    corners = [(-width / 2, -height / 2), (width / 2, -height / 2), (0.0, height / 2)]
    path.addPolygon(QPolygonF([QPointF(x, up * y) for x, y in corners]))
    path.closeSubpath()
    return path


def extras_path(level: Level, tail: Tail) -> QPainterPath:
    """The bar of a far level and the tail: solid also when the body is hollow."""
    path = QPainterPath()
    if _is_far(level):
        width, height = _FAR_TRIANGLE
        top = height / 2 + _BAR_GAP
        path.addRect(QRectF(-width / 2, -top - _BAR if _is_high(level) else top, width, _BAR))
    if tail is not Tail.NONE:
        path = path.united(_tail_path(level, tail))
    return path


def mark_path(level: Level, tail: Tail = Tail.NONE, *, doubt: bool = False) -> QPainterPath:
    """A whole mark as one outline to fill; in doubt, the body is its dotted edge only."""
    body = body_path(level)
    return (edge_path(body) if doubt else body).united(extras_path(level, tail))


def symbol_path(level: Level, tail: Tail = Tail.NONE, *, doubt: bool = False) -> QPainterPath:
    """`mark_path` in a square of side 1, for chart items that scale a symbol to their spot size.

    Give the spot the size `SYMBOL_PX` times the scale, no pen, and the colour of the level.
    """
    return _unit(mark_path(level, tail, doubt=doubt))


def cross_symbol() -> QPainterPath:
    """The × of a reading that is not mine or set aside, in a square of side 1."""
    return _unit(cross_path())


def edge_path(body: QPainterPath) -> QPainterPath:
    """The dotted edge of a body in doubt, as an outline to fill."""
    stroker = QPainterPathStroker()
    stroker.setWidth(_EDGE)
    stroker.setCapStyle(Qt.PenCapStyle.FlatCap)
    stroker.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    stroker.setDashPattern(list(_DASHES))
    return stroker.createStroke(body)


def cross_path() -> QPainterPath:
    """The × of a reading that is not mine or set aside."""
    return _cross(_CROSS, _CROSS_THICK)


def control_path() -> QPainterPath:
    """The square of a control test."""
    return _square(_CONTROL)


def crossed_path() -> QPainterPath:
    """The hollow, crossed square of a control test that failed, as an outline to fill."""
    frame = _square(_CONTROL + _EDGE).subtracted(_square(_CONTROL - _EDGE))
    return frame.united(_cross(_CONTROL - _EDGE, _EDGE))


def ketone_path() -> QPainterPath:
    """The diamond of a ketone value."""
    half = _KETONE / 2
    path = QPainterPath()
    path.addPolygon(QPolygonF([QPointF(x, y) for x, y in ((0, -half), (half, 0), (0, half))]))
    path.lineTo(-half, 0)
    path.closeSubpath()
    return path


def off_scale_path(level: Level) -> QPainterPath:
    """The arrow beyond the shape of a LO or HI: the result lies farther out than was measured."""
    _, height = _FAR_TRIANGLE
    start = height / 2 + _BAR_GAP + (_BAR + _BAR_GAP if _is_far(level) else 0)
    up = -1 if _is_high(level) else 1
    arrow = QPainterPath()
    arrow.moveTo(-3.5, up * start)
    arrow.lineTo(0, up * (start + 3.5))
    arrow.lineTo(3.5, up * start)
    return _stroked(arrow, 1.6)


def _tail_path(level: Level, tail: Tail) -> QPainterPath:
    if level is Level.IN_RANGE:
        start, end = _DISC / 2 - 0.5, _DISC / 2 + _TAIL
    else:
        width, _ = _FAR_TRIANGLE if _is_far(level) else _TRIANGLE
        start, end = width / 8, width / 2 + _TAIL_BEYOND  # from within, so that no gap is left
    side = tail.value
    line = QPainterPath()
    line.addRect(QRectF(min(side * start, side * end), -_TAIL_THICK / 2, end - start, _TAIL_THICK))
    return line


def _is_far(level: Level) -> bool:
    return level in (Level.VERY_LOW, Level.VERY_HIGH)


def _is_high(level: Level) -> bool:
    return level in (Level.HIGH, Level.VERY_HIGH)


def _unit(path: QPainterPath) -> QPainterPath:
    return QTransform.fromScale(1 / SYMBOL_PX, 1 / SYMBOL_PX).map(path)


def _square(side: float) -> QPainterPath:
    path = QPainterPath()
    path.addRect(QRectF(-side / 2, -side / 2, side, side))
    return path


def _cross(side: float, thick: float) -> QPainterPath:
    half = side / 2
    lines = (QLineF(-half, -half, half, half), QLineF(-half, half, half, -half))
    strokes = []
    for line in lines:
        path = QPainterPath(line.p1())
        path.lineTo(line.p2())
        strokes.append(_stroked(path, thick))
    return strokes[0].united(strokes[1])


def _stroked(path: QPainterPath, thick: float) -> QPainterPath:
    stroker = QPainterPathStroker()
    stroker.setWidth(thick)
    stroker.setCapStyle(Qt.PenCapStyle.FlatCap)
    stroker.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    return stroker.createStroke(path)
