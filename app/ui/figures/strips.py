"""The strip of one mark: its readings on the common scale, middle half, median, goal lane."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from app.domain.glucose import Bound
from app.domain.levels import Level
from app.look.drawn import look_at
from app.look.hatch import paint_hatch
from app.look.marks import STRIP, MarkLook, paint_mark
from app.look.median import MEDIAN_PX, paint_median
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.by_mark import MarkRow
from app.review.marks_drawn import LEVELS
from app.review.scale import GlucoseScale, Tick
from app.store.columns import ABOVE, BELOW
from app.ui.words import number_words

_INSET = 8.0
_APART_X, _APART_Y = 4.6, 4.4  # px at a text size of 13 px: marks closer than that go aside


class StripSight:
    """Where values lie in a strip; the scale begins at the side where a line of text begins."""

    def __init__(self, area: QRectF, scale: GlucoseScale, *, right_to_left: bool) -> None:
        self.area, self._scale, self._mirrored = area, scale, right_to_left
        inset = _INSET * text_scale()
        self._start, self._length = area.left() + inset, max(1.0, area.width() - 2 * inset)

    def x(self, value: float) -> float:
        """The px of a value, kept inside the strip."""
        scale = self._scale
        part = min(1.0, max(0.0, (value - scale.low) / (scale.high - scale.low)))
        return self._start + self._length * (1 - part if self._mirrored else part)

    def span(self, low: float | None, high: float | None) -> QRectF:
        """The part of the strip between two values; an open end reaches the edge."""
        area = self.area
        ends = [area.left(), area.right()]
        at_low, at_high = (1, 0) if self._mirrored else (0, 1)
        if low is not None:
            ends[at_low] = self.x(low)
        if high is not None:
            ends[at_high] = self.x(high)
        return QRectF(ends[0], area.top(), ends[1] - ends[0], area.height())


def paint_strip(painter: QPainter, sight: StripSight, row: MarkRow, tokens: Tokens) -> None:
    """Paint a strip; the painter is left as it was."""
    painter.save()
    painter.setClipRect(sight.area)
    _paint_lane(painter, sight, row, tokens)
    if not row.n:
        paint_hatch(painter, sight.area, tokens, text_scale())
    else:
        if row.piles is not None:
            _paint_piles(painter, sight, row, tokens)
        _paint_box(painter, sight, row, tokens)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for at, look in _looks(sight, row):
            paint_mark(painter, at, look, tokens, STRIP * text_scale())
        _paint_median(painter, sight, row, tokens)
    painter.restore()


def paint_scale(painter: QPainter, sight: StripSight, scale: GlucoseScale, tokens: Tokens) -> None:
    """Write the numbers of the scale and its unit into the head of the strips."""
    painter.setFont(font(Role.SMALL))
    metrics = QFontMetricsF(painter.font())
    area = sight.area
    unit_width = metrics.horizontalAdvance(scale.unit)
    unit = QRectF(area.right() - unit_width, area.top(), unit_width, area.height())
    if sight.x(scale.high) < sight.x(scale.low):
        unit.moveLeft(area.left())
    painter.setPen(QColor(tokens.ink3))
    flags = Qt.AlignmentFlag.AlignCenter
    painter.drawText(unit, flags, str(scale.unit))
    taken = [unit.adjusted(-6, 0, 6, 0)]
    limits = [tick for tick in scale.ticks if tick.is_limit]
    for tick in limits or scale.ticks:
        room = _tick_room(sight, tick, metrics)
        if all(not room.intersects(other) for other in taken):
            painter.drawText(room, flags, number_words(tick.text))
            taken.append(room.adjusted(-4, 0, 4, 0))


def _tick_room(sight: StripSight, tick: Tick, metrics: QFontMetricsF) -> QRectF:
    width = metrics.horizontalAdvance(number_words(tick.text)) + 2
    return QRectF(sight.x(tick.value) - width / 2, sight.area.top(), width, sight.area.height())


def _paint_lane(painter: QPainter, sight: StripSight, row: MarkRow, tokens: Tokens) -> None:
    if row.low is None and row.high is None:
        return
    painter.fillRect(sight.area, QColor(tokens.out))
    painter.fillRect(sight.span(row.low, row.high), QColor(tokens.lane))
    for end in (row.low, row.high):
        if end is not None:
            line = QRectF(round(sight.x(end)), sight.area.top(), 1, sight.area.height())
            painter.fillRect(line, QColor(tokens.edge))


def _paint_box(painter: QPainter, sight: StripSight, row: MarkRow, tokens: Tokens) -> None:
    if row.box is None:
        return
    tall = sight.area.height() * 0.62
    span = sight.span(*row.box)
    box = QRectF(
        round(span.left()) + 0.5,
        round(sight.area.center().y() - tall / 2) + 0.5,
        max(1.0, round(span.width())),
        round(tall),
    )
    painter.setPen(QPen(QColor(tokens.spe), 1))
    # Over piles only the edge: a filled box would hide them.
    painter.setBrush(QColor(tokens.sp1) if row.piles is None else Qt.BrushStyle.NoBrush)
    painter.drawRect(box)


def _paint_median(painter: QPainter, sight: StripSight, row: MarkRow, tokens: Tokens) -> None:
    if not isinstance(row.median, float):
        return
    tall, wide = sight.area.height() * 0.62 + 2, MEDIAN_PX * text_scale()
    at = QRectF(sight.x(row.median) - wide / 2, sight.area.center().y() - tall / 2, wide, tall)
    paint_median(painter, at, tokens, upright=True)


def _paint_piles(painter: QPainter, sight: StripSight, row: MarkRow, tokens: Tokens) -> None:
    """Piles as bars of one pixel column each, the tallest as tall as the strip."""
    piles = row.piles
    if piles is None or not piles.count.size:
        return
    middle, most = sight.area.center().y(), int(piles.count.max())
    room = sight.area.height() / 2 - 2
    wide = max(1.0, abs(sight.x(piles.value[0] + piles.step) - sight.x(piles.value[0])) - 0.4)
    for value, count, level in zip(
        piles.value.tolist(), piles.count.tolist(), piles.level.tolist(), strict=True
    ):
        half = max(0.8, room * (count / most) ** 0.5)
        bar = QRectF(sight.x(value) - wide / 2, middle - half, wide, 2 * half)
        painter.fillRect(bar, QColor(tokens.level_colour(LEVELS[level])))


def _looks(sight: StripSight, row: MarkRow) -> Iterator[tuple[QPointF, MarkLook]]:
    """Every mark and where it stands: marks that would cover each other go up and down."""
    middle = sight.area.center().y()
    if row.piles is not None:
        for count, level, bound in (
            (row.piles.off_below, Level.VERY_LOW, Bound.BELOW),
            (row.piles.off_above, Level.VERY_HIGH, Bound.ABOVE),
        ):
            if count:
                end = sight.x(-1e9 if bound is Bound.BELOW else 1e9)
                yield QPointF(end, middle), MarkLook(level, off_scale=bound)
        return
    marks = row.marks
    if marks is None:
        return
    places = [
        sight.x({BELOW: -1e9, ABOVE: 1e9}.get(bound, value))
        for value, bound in zip(marks.value.tolist(), marks.bound.tolist(), strict=True)
    ]
    for at, (x, y) in enumerate(_swarm(places, sight.area.height())):
        yield QPointF(x, middle + y), look_at(marks, at, tail=False)  # its row says which meal


def _swarm(places: list[float], height: float) -> Iterator[tuple[float, float]]:
    """Set marks aside from the middle line, in turn up and down, where they would meet."""
    scale = text_scale()
    steps = max(0, int((height / 2 - 5 * scale) / (_APART_Y * scale)))
    offsets = [0.0]
    for step in range(1, steps + 1):
        offsets += [-step * _APART_Y * scale, step * _APART_Y * scale]
    last = [float("inf")] * len(offsets)
    for x in places:
        gaps = [abs(x - other) for other in last]
        free = [at for at, gap in enumerate(gaps) if gap >= _APART_X * scale]
        at = free[0] if free else gaps.index(max(gaps))
        last[at] = x
        yield x, offsets[at]
