"""The small picture of a slot: fourteen days from left to right, middle half, median, and the day.

One painter on any rectangle, so that the printed page can use it too.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QPen

from app.look.drawn import look_at
from app.look.hatch import paint_hatch
from app.look.marks import STRIP, paint_mark
from app.look.median import MEDIAN_PX, paint_median
from app.look.tokens import Tokens
from app.look.type import text_scale
from app.review.day_slots import DAYS_BEFORE, SlotOfDay
from app.review.marks_drawn import DrawnMarks
from app.review.scale import GlucoseScale
from app.store.columns import ABOVE, BELOW

_INSET = 7.0  # px that marks keep from the edges at the sides
_EDGE = 6.0  # px that marks keep from the upper and lower edge
_ARROW = 13.5  # px from the middle of a mark off the scale to the end of its arrow


def paint_strip(
    painter: QPainter, area: QRectF, slot: SlotOfDay, scale: GlucoseScale, tokens: Tokens
) -> None:
    """Paint a slot into `area`; the painter is left as it was."""
    painter.save()
    painter.setClipRect(area)
    _paint_ground(painter, area, slot, scale, tokens)
    if slot.is_untested:
        paint_hatch(painter, area, tokens)
    _paint_limits(painter, area, slot, scale, tokens)
    _paint_middle(painter, area, slot, scale, tokens)
    size = STRIP * text_scale()
    _paint_marks(painter, area, slot.before, scale, tokens, size)
    if len(slot.here):
        x = round(day_x(area, 0))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(QPen(QColor(tokens.brass), max(1, round(1.3 * text_scale()))))
        painter.drawLine(QPointF(x, area.top()), QPointF(x, area.bottom()))
        _paint_marks(painter, area, slot.here, scale, tokens, text_scale())
    painter.restore()


def value_y(area: QRectF, value: float, scale: GlucoseScale) -> float:
    """Where a value lies in an area of a scale; the marks at its ends are not cut off."""
    inset = _EDGE * text_scale()
    room = area.height() - 2 * inset
    return area.bottom() - inset - (value - scale.low) / (scale.high - scale.low) * room


def day_x(area: QRectF, day: float) -> float:
    """Where a day lies: -14 at the left, 0 at the right, where the day itself stands."""
    inset = _INSET * text_scale()
    room = area.width() - 2 * inset
    return area.left() + inset + (day + DAYS_BEFORE) / DAYS_BEFORE * room


def _paint_ground(
    painter: QPainter, area: QRectF, slot: SlotOfDay, scale: GlucoseScale, tokens: Tokens
) -> None:
    has_goal = slot.low is not None or slot.high is not None
    painter.fillRect(area, QColor(tokens.out if has_goal else tokens.page))
    if has_goal:
        top = area.top() if slot.high is None else value_y(area, slot.high, scale)
        bottom = area.bottom() if slot.low is None else value_y(area, slot.low, scale)
        lane = QRectF(area.left(), round(top), area.width(), round(bottom) - round(top))
        painter.fillRect(lane, QColor(tokens.lane))
    else:
        painter.setPen(QPen(QColor(tokens.line), 1))
        painter.drawRect(area.adjusted(0.5, 0.5, -0.5, -0.5))


def _paint_limits(
    painter: QPainter, area: QRectF, slot: SlotOfDay, scale: GlucoseScale, tokens: Tokens
) -> None:
    painter.setPen(QPen(QColor(tokens.edge), 1))
    for limit in (slot.low, slot.high):
        if limit is not None:
            y = round(value_y(area, limit, scale)) + 0.5
            painter.drawLine(QPointF(area.left(), y), QPointF(area.right(), y))


def _paint_middle(
    painter: QPainter, area: QRectF, slot: SlotOfDay, scale: GlucoseScale, tokens: Tokens
) -> None:
    if slot.box is not None:
        top, bottom = (round(value_y(area, end, scale)) for end in (slot.box[1], slot.box[0]))
        box = QRectF(area.left(), top, area.width(), max(1, bottom - top))
        painter.fillRect(box, QColor(tokens.sp1))
        painter.setPen(QPen(QColor(tokens.spe), 1))
        for y in (top + 0.5, bottom - 0.5):
            painter.drawLine(QPointF(area.left(), y), QPointF(area.right(), y))
    if isinstance(slot.median, float):
        y, tall = value_y(area, slot.median, scale), MEDIAN_PX * text_scale()
        bar = QRectF(area.left(), y - tall / 2, area.width(), tall)
        paint_median(painter, bar, tokens)


def _paint_marks(
    painter: QPainter,
    area: QRectF,
    marks: DrawnMarks,
    scale: GlucoseScale,
    tokens: Tokens,
    size: float,
) -> None:
    for at in range(len(marks)):
        bound = int(marks.bound[at])
        y = value_y(area, float(marks.value[at]), scale)
        if bound in (BELOW, ABOVE):
            edge = _ARROW * size
            y = area.bottom() - edge if bound == BELOW else area.top() + edge
        look = look_at(marks, at, tail=False)  # the slot says which meal
        paint_mark(painter, QPointF(day_x(area, float(marks.x[at])), y), look, tokens, size)
