"""Meter minus laboratory over the laboratory's result, between the limits of the standard."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from app.domain.person import Person
from app.look.theme import tokens_now
from app.look.type import Role, font
from app.review.meter_against_lab import LabPair
from app.review.pairs_drawn import DrawnPair, drawn_pairs, limit_line
from app.ui.controls.drawing import px
from app.ui.kit.lab_words import said_pair
from app.ui.kit.small_chart import MARK, Scale, SmallChart, round_step
from app.ui.kit.words import tr
from app.ui.words import number_words

_AXIS, _TOP, _RIGHT = 48, 28, 16
_AIR = 1.15


class DifferenceChart(SmallChart):
    """A dot within its limit, a hollow diamond with the word where it is outside."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Meter minus laboratory"), parent)
        self._pairs: tuple[DrawnPair, ...] = ()
        self._person: Person | None = None
        self._meters: dict[int, str] = {}

    def show_pairs(
        self, pairs: tuple[LabPair, ...], person: Person, meters: dict[int, str]
    ) -> None:
        """Show the pairs in the unit of the person, meters by the names of their local ids."""
        self._pairs = drawn_pairs(pairs, person.unit)
        self._person, self._meters = person, meters
        self.begin_at(0)

    @property
    def pairs(self) -> tuple[DrawnPair, ...]:
        """The pairs from left to right."""
        return self._pairs

    def count(self) -> int:
        return len(self._pairs)

    def said(self, at: int) -> str:
        assert self._person is not None
        return said_pair(self._pairs[at].pair, self._person, self._meters)

    def draw(self, painter: QPainter) -> list[QPointF]:
        assert self._person is not None
        tokens, unit = tokens_now(), self._person.unit
        line = QFontMetrics(font(Role.SMALL)).height()
        plot = QRectF(
            px(_AXIS),
            px(_TOP),
            max(1, self.width() - px(_AXIS) - px(_RIGHT)),
            self.height() - px(_TOP) - 2 * line - px(10),
        )
        until = max(each.reference for each in self._pairs) * _AIR
        step = round_step(until / 6)
        until = step * -(-until // step)
        corners = limit_line(unit, until)
        far = max(*(abs(each.difference) for each in self._pairs), corners[-1][1]) * _AIR
        scale = Scale(-far, far, plot)
        upper = [QPointF(plot.left() + x / until * plot.width(), scale.y_of(y)) for x, y in corners]
        lower = [
            QPointF(plot.left() + x / until * plot.width(), scale.y_of(-y)) for x, y in corners
        ]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(tokens.sp1))
        painter.drawPolygon(QPolygonF([*upper, *reversed(lower)]))
        scale.paint(painter, tr("difference, {unit}").format(unit=unit), signed=True)
        painter.setPen(QPen(QColor(tokens.spe), 1.4, Qt.PenStyle.DashLine))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(QPolygonF(upper))
        painter.drawPolyline(QPolygonF(lower))
        zero = round(scale.y_of(0))
        painter.fillRect(QRectF(plot.left(), zero, plot.width(), 1), QColor(tokens.edge))
        self._paint_x_axis(painter, plot, until, step, line)
        places = [
            QPointF(
                plot.left() + each.reference / until * plot.width(), scale.y_of(each.difference)
            )
            for each in self._pairs
        ]
        for each, at in zip(self._pairs, places, strict=True):
            _paint_pair(painter, at, plot, within=each.pair.held.within)
        return places

    def _paint_x_axis(
        self, painter: QPainter, plot: QRectF, until: float, step: float, line: int
    ) -> None:
        assert self._person is not None
        tokens = tokens_now()
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink3))
        for at in range(round(until / step) + 1):
            x = plot.left() + at * step / until * plot.width()
            text = number_words(f"{at * step:g}")
            room = QRectF(x - px(30), plot.bottom() + px(4), px(60), line)
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter, text)
        room = QRectF(plot.left(), plot.bottom() + px(4) + line, plot.width(), line)
        title = tr("result of the laboratory, {unit}").format(unit=self._person.unit)
        painter.drawText(room, Qt.AlignmentFlag.AlignCenter, title)


def _paint_pair(painter: QPainter, at: QPointF, plot: QRectF, *, within: bool) -> None:
    tokens, half = tokens_now(), px(MARK) / 2
    painter.setPen(QPen(QColor(tokens.page if within else tokens.ink), 1 if within else 1.6))
    if within:
        painter.setBrush(QColor(tokens.within))
        painter.drawEllipse(at, half * 0.8, half * 0.8)
        return
    painter.setBrush(QColor(tokens.page))
    corners = ((0, -half), (half, 0), (0, half), (-half, 0))
    painter.drawPolygon(QPolygonF([at + QPointF(x, y) for x, y in corners]))
    painter.setFont(font(Role.SMALL_STRONG))
    metrics = QFontMetrics(painter.font())
    word = tr("outside")
    wide = metrics.horizontalAdvance(word)
    left = at.x() + half + px(4)
    if left + wide > plot.right():
        left = at.x() - half - px(4) - wide
    painter.drawText(QPointF(left, at.y() + metrics.ascent() / 2 - 1), word)
