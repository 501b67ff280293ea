"""One slot in one month: lane, middle half, median, the readings that are drawn, the counts."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from app.domain.levels import Level
from app.look.drawn import look_at
from app.look.hatch import paint_hatch
from app.look.marks import STRIP, MarkLook, paint_mark
from app.look.median import MEDIAN_PX, paint_median
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.figure import OffScale
from app.review.marks_drawn import DrawnMarks
from app.review.scale import GlucoseScale
from app.review.year_cells import YearCell
from app.store.columns import ABOVE, BELOW
from app.ui.words import count_words
from app.ui.year.places import sign_px

_INSET = 5.0  # px that marks keep from the upper and lower edge
_SIDE = 5.0  # px that marks keep from the sides
_ARROW = 11.0  # px from the middle of a small mark off the scale to the end of its arrow
_BOX, _BOX_MOST = 0.5, 40.0  # how wide a box is, of its column and in px
_SIZE = STRIP * 1.2
_SAME = 3.0  # px: marks of one look that are closer are drawn once


def value_y(area: QRectF, value: float, scale: GlucoseScale) -> float:
    """Where a value lies in a plot; marks at the ends of the scale are not cut."""
    inset = _INSET * text_scale()
    part = (min(max(value, scale.low), scale.high) - scale.low) / (scale.high - scale.low)
    return area.bottom() - inset - part * (area.height() - 2 * inset)


def paint_cell(
    painter: QPainter,
    area: QRectF,
    cell: YearCell,
    marks: DrawnMarks,
    scale: GlucoseScale,
    tokens: Tokens,
) -> None:
    """Paint a cell into its plot; the painter is left as it was."""
    painter.save()
    painter.setClipRect(area)
    if not cell.n:
        painter.fillRect(area, QColor(tokens.page))
        paint_hatch(painter, area, tokens, text_scale())
        painter.restore()
        return
    _paint_lane(painter, area, cell, scale, tokens)
    _paint_box(painter, area, cell, scale, tokens)
    _paint_marks(painter, area, marks, scale, tokens)
    _paint_median(painter, area, cell, scale, tokens)
    painter.restore()


def paint_counts(
    painter: QPainter, area: QRectF, cell: YearCell, lines: int, tokens: Tokens
) -> None:
    """Write n, and the counts below and above with their signs, over one to three lines."""
    metrics, pad = QFontMetricsF(font(Role.SMALL)), 3 * text_scale()
    left, line = area.left() + pad, metrics.height()
    painter.setFont(font(Role.SMALL))
    painter.setPen(QColor(tokens.ink3))
    n = count_words(cell.n)
    painter.drawText(QPointF(left, area.top() + metrics.ascent()), n)
    at = QPointF(left, area.top() + (0 if lines == 1 else line))
    if lines == 1:
        at.setX(left + metrics.horizontalAdvance(n) + 5 * text_scale())
    for level, count in _beyond(cell):
        wide = _paint_count(painter, at, level, count, tokens)
        at = at + (QPointF(0, line) if lines == 3 else QPointF(wide + 5 * text_scale(), 0))


def box_span(area: QRectF) -> tuple[float, float]:
    """Where a box begins and ends across its plot."""
    wide = round(min(area.width() * _BOX, _BOX_MOST * text_scale()))
    left = round(area.center().x() - wide / 2)
    return left, left + wide


def _beyond(cell: YearCell) -> list[tuple[Level, int]]:
    """The counts below and above; the sign is that of the far level where all are far."""
    low = Level.VERY_LOW if cell.lows == cell.far_lows else Level.LOW
    high = Level.VERY_HIGH if cell.highs == cell.far_highs else Level.HIGH
    return [(level, n) for level, n in ((low, cell.lows), (high, cell.highs)) if n]


def _paint_count(painter: QPainter, at: QPointF, level: Level, count: int, tokens: Tokens) -> float:
    """Paint a sign and its count from a corner on; how wide both are."""
    strong = QFontMetricsF(font(Role.SMALL_STRONG))
    side = sign_px()
    middle = QPointF(at.x() + side / 2, at.y() + strong.height() / 2)
    paint_mark(painter, middle, MarkLook(level), tokens, text_scale() * 0.72)
    painter.setFont(font(Role.SMALL_STRONG))
    painter.setPen(QColor(tokens.level_text(level)))
    text = count_words(count)
    left = at.x() + side + 2 * text_scale()
    painter.drawText(QPointF(left, at.y() + strong.ascent()), text)
    return left + strong.horizontalAdvance(text) - at.x()


def _paint_lane(
    painter: QPainter, area: QRectF, cell: YearCell, scale: GlucoseScale, tokens: Tokens
) -> None:
    """Shade what is outside the target; without one nothing is shaded."""
    ends = cell.goal_low, cell.goal_high
    if ends == (None, None):
        painter.fillRect(area, QColor(tokens.page))
        return
    painter.fillRect(area, QColor(tokens.out))
    bottom = area.bottom() if cell.goal_low is None else round(value_y(area, cell.goal_low, scale))
    top = area.top() if cell.goal_high is None else round(value_y(area, cell.goal_high, scale))
    painter.fillRect(QRectF(area.left(), top, area.width(), bottom - top), QColor(tokens.lane))
    for end in ends:
        if end is not None:
            line = QRectF(area.left(), round(value_y(area, end, scale)), area.width(), 1)
            painter.fillRect(line, QColor(tokens.edge))


def _paint_box(
    painter: QPainter, area: QRectF, cell: YearCell, scale: GlucoseScale, tokens: Tokens
) -> None:
    if cell.box is None:
        return
    left, right = box_span(area)
    bottom, top = (round(value_y(area, end, scale)) for end in cell.box)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setPen(QPen(QColor(tokens.spe), 1))
    painter.setBrush(QColor(tokens.sp1))
    painter.drawRect(QRectF(left, top, right - left, max(1, bottom - top)))
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _paint_median(
    painter: QPainter, area: QRectF, cell: YearCell, scale: GlucoseScale, tokens: Tokens
) -> None:
    """The bar of the median; at the edge where it is off the meter's scale."""
    if isinstance(cell.median, float):
        y = value_y(area, cell.median, scale)
    elif isinstance(cell.median, OffScale):
        y = area.bottom() - 2 if cell.median.side == "below" else area.top() + 2
    else:
        return
    left, right = box_span(area)
    thick = MEDIAN_PX * text_scale()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    paint_median(painter, QRectF(left, round(y - thick / 2), right - left + 1, thick), tokens)


def _paint_marks(
    painter: QPainter, area: QRectF, marks: DrawnMarks, scale: GlucoseScale, tokens: Tokens
) -> None:
    size = _SIZE * text_scale()
    side, arrow = _SIDE * text_scale(), _ARROW * text_scale()
    edges = {BELOW: area.bottom() - arrow, ABOVE: area.top() + arrow}
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painted: set[tuple[int, int, MarkLook]] = set()
    for at in range(len(marks)):
        x = area.left() + side + float(marks.x[at]) * (area.width() - 2 * side)
        y = edges.get(int(marks.bound[at]), value_y(area, float(marks.value[at]), scale))
        look = look_at(marks, at, tail=False)  # the row says which meal it is
        place = (round(x / _SAME), round(y / _SAME), look)
        if place not in painted:  # hundreds of lows in a month lie over each other anyway
            painted.add(place)
            paint_mark(painter, QPointF(x, y), look, tokens, size)
