"""What stands round a plot: the glucose numbers, the unit, names of limits, the rows below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import QPointF, QRect, QRectF
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.look.theme import tokens_now
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.scale import GlucoseScale, Tick
from app.ui.charts.layers import Layer
from app.ui.charts.sight import Sight
from app.ui.charts.strips import Strip
from app.ui.controls.drawing import paint_ring
from app.ui.words import number_words

_GAP = 8.0
_INSET = 5.0  # the focus ring stands there
_MOST_ASIDE = 0.16  # names that would take more of the width than this move inside


@dataclass(frozen=True, slots=True)
class EndName:
    """The name of a line at the right end of the plot: "target to 10.0", "low line 3.9"."""

    value: float
    text: str
    ink: str = "ink3"


@dataclass(frozen=True, slots=True)
class Margins:
    """The px kept free round the plot."""

    left: float
    top: float
    right: float
    bottom: float


class Furniture(QGraphicsItem):
    """Painted in px over the whole chart; says how much room what it writes will take."""

    def __init__(self) -> None:
        super().__init__()
        self.setZValue(Layer.FURNITURE)
        self.glucose: GlucoseScale | None = None
        self.end_names: tuple[EndName, ...] = ()
        self.strips: tuple[Strip, ...] = ()
        self.focused = False
        self._size = QRectF()
        self._sight: Sight | None = None
        self._inside = False

    def margins(self, width: float) -> Margins:
        """The room that all this takes in a chart of a width; names move inside if it is little."""
        metrics, gap = QFontMetricsF(font(Role.SMALL)), _GAP * text_scale()
        bold = QFontMetricsF(font(Role.SMALL_STRONG))
        numbers = [bold.horizontalAdvance(number_words(tick.text)) for tick in self._ticks()]
        names = [each.text for each in self.end_names]
        names += [strip.name for strip in self.strips if strip.name and strip.height()]
        aside = max((metrics.horizontalAdvance(name) for name in names), default=0.0)
        self._inside = aside + gap > width * _MOST_ASIDE
        # Half an hour's label reaches over the end of the plot.
        least = metrics.horizontalAdvance("00:00") / 2 + 2
        return Margins(
            left=max([*numbers, least]) + gap + _INSET,
            top=metrics.height() + 4 * text_scale(),
            right=least if self._inside else max(aside + gap, least),
            bottom=sum(strip.height() for strip in self.strips),
        )

    def lay_out(self, size: QRectF, sight: Sight) -> None:
        """Take the chart's size and sight."""
        if size != self._size:
            self.prepareGeometryChange()
        self._size, self._sight = size, sight
        self.update()

    def boundingRect(self) -> QRectF:
        return self._size

    def paint(
        self, painter: QPainter, _option: QStyleOptionGraphicsItem, _widget: QWidget | None = None
    ) -> None:
        if self._sight is None or self.glucose is None:
            return
        tokens = tokens_now()
        self._paint_numbers(painter, self._sight, tokens)
        self._paint_end_names(painter, self._sight, tokens)
        top = self._sight.plot.bottom()
        for strip in self.strips:
            painter.save()
            strip.paint(painter, top, self._sight, tokens)
            painter.restore()
            if strip.name and strip.height():
                self._paint_strip_name(painter, strip, top, tokens)
            top += strip.height()
        if self.focused:
            paint_ring(painter, QRect(self._size.toRect()), tokens.ink)

    def _ticks(self) -> tuple[Tick, ...]:
        return self.glucose.ticks if self.glucose else ()

    def _paint_numbers(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        gap = _GAP * text_scale()
        right = sight.plot.left() - gap
        taken: list[float] = []
        # Limits first: where there is no room for both, the round number goes.
        for tick in sorted(self._ticks(), key=lambda each: not each.is_limit):
            role = Role.SMALL_STRONG if tick.is_limit else Role.SMALL
            painter.setFont(font(role))
            metrics = QFontMetricsF(painter.font())
            y = sight.y(tick.value)
            close = any(abs(y - other) < metrics.height() * 0.95 for other in taken)
            if close or not sight.shows_y(tick.value):
                continue
            taken.append(y)
            painter.setPen(QColor(tokens.ink if tick.is_limit else tokens.ink3))
            text = number_words(tick.text)
            painter.drawText(
                QPointF(right - metrics.horizontalAdvance(text), y + metrics.capHeight() / 2), text
            )
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink3))
        metrics = QFontMetricsF(painter.font())
        unit = self.glucose.unit.value if self.glucose else ""
        base = sight.plot.top() - 4 * text_scale() - metrics.descent()
        painter.drawText(QPointF(max(_INSET, right - metrics.horizontalAdvance(unit)), base), unit)

    def _paint_end_names(self, painter: QPainter, sight: Sight, tokens: Tokens) -> None:
        painter.setFont(font(Role.SMALL))
        metrics, gap = QFontMetricsF(painter.font()), _GAP * text_scale()
        seen = [each for each in self.end_names if sight.shows_y(each.value)]
        wanted = [sight.y(each.value) for each in seen]
        for name, y in zip(seen, _apart(wanted, metrics.height()), strict=True):
            painter.setPen(QColor(getattr(tokens, name.ink)))
            wide = metrics.horizontalAdvance(name.text)
            if self._inside:
                above = y - 3 * text_scale() - metrics.descent()
                painter.drawText(QPointF(sight.plot.right() - wide - gap / 2, above), name.text)
            else:
                middle = y + metrics.capHeight() / 2
                painter.drawText(QPointF(sight.plot.right() + gap, middle), name.text)

    def _paint_strip_name(
        self, painter: QPainter, strip: Strip, top: float, tokens: Tokens
    ) -> None:
        if self._sight is None or self._inside:
            return
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink3))
        metrics = QFontMetricsF(painter.font())
        middle = top + strip.height() / 2 + metrics.capHeight() / 2
        painter.drawText(
            QPointF(self._sight.plot.right() + _GAP * text_scale(), middle), strip.name
        )


def _apart(wanted: Sequence[float], room: float) -> list[float]:
    """The places of names, pushed apart where two would lie over each other; order is kept."""
    order = sorted(range(len(wanted)), key=lambda at: wanted[at])
    placed = list(wanted)
    for _ in range(len(order)):
        moved = False
        for one, other in pairwise(order):
            short = room - (placed[other] - placed[one])
            if short > 0.01:
                placed[one] -= short / 2
                placed[other] += short / 2
                moved = True
        if not moved:
            break
    return placed
