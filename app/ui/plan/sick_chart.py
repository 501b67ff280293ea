"""Sick days drawn: glucose above, blood ketones below, on one axis of time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.domain.clock import zone_named
from app.domain.ketones import UNIT
from app.look.marks import MarkLook, paint_ketone, paint_mark
from app.look.shapes import tail_of
from app.look.theme import follow_theme, tokens_now
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.scale import GlucoseScale, glucose_scale
from app.review.sick_day import SickDay
from app.ui.controls.drawing import leading, px, trailing
from app.ui.plan.words import tr
from app.ui.words import date_words, minute_words, number_words

_HIGH, _KETONE_PART, _GAP = 300, 0.34, 26
_HOURS = (1, 2, 3, 6, 12, 24, 48, 168)
_LEAST_KETONES = 3.6  # the axis always shows where the last band begins


class SickChart(QWidget):
    """The marks of both, the limits of the ketone bands named at the end of their lines."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._found: SickDay | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        follow_theme(self._restyle)

    def show_days(self, found: SickDay, finding: str) -> None:
        """Draw these; the finding is what a screen reader hears."""
        self._found = found
        self.setAccessibleName(finding)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(px(560), px(_HIGH))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(320), px(_HIGH))

    def paintEvent(self, _event: QPaintEvent) -> None:
        found = self._found
        if found is None:
            return
        tokens, painter = tokens_now(), QPainter(self)
        painter.setFont(font(Role.SMALL))
        metrics = QFontMetricsF(painter.font())
        side, ends = px(44), px(150)
        rtl = self.layoutDirection() is Qt.LayoutDirection.RightToLeft
        left, right = (ends, side) if rtl else (side, ends)
        line = metrics.height()
        plot = QRectF(left, line + 4, self.width() - left - right, self.height() - 3 * line - 8)
        low = QRectF(plot)
        low.setTop(plot.bottom() - plot.height() * _KETONE_PART)
        high = QRectF(plot)
        high.setBottom(low.top() - px(_GAP))
        for area in (high, low):
            painter.fillRect(area, QColor(tokens.out))
        self._paint_hours(painter, plot, tokens)
        values = found.glucose.tolist()
        scale = glucose_scale(values, (), found.person.unit)
        self._paint_glucose(painter, high, scale, tokens)
        self._paint_ketones(painter, low, tokens)
        painter.end()

    def _x(self, area: QRectF, instant: int) -> float:
        assert self._found is not None
        part = (instant - self._found.start) / (self._found.end - self._found.start)
        return area.left() + part * area.width()

    def _paint_hours(self, painter: QPainter, plot: QRectF, tokens: Tokens) -> None:
        """Verticals at whole hours by the person's clock, few enough to be named."""
        found = self._found
        assert found is not None
        zone = zone_named(found.person.zone)
        metrics = QFontMetricsF(painter.font())
        most = max(2, int(plot.width() / (metrics.horizontalAdvance("00:00 PM") + px(12))))
        hours = (found.end - found.start) / 3600
        step = next((each for each in _HOURS if hours / each <= most), _HOURS[-1])
        wall = datetime.fromtimestamp(found.start, UTC).astimezone(zone)
        at = wall.replace(minute=0, second=0, microsecond=0)
        at -= timedelta(hours=at.hour % min(step, 24))
        named = None
        while int(at.timestamp()) <= found.end:
            instant = int(at.timestamp())
            if instant >= found.start:
                x = round(self._x(plot, instant))
                painter.setPen(QPen(QColor(tokens.grid), 1))
                painter.drawLine(QPointF(x, plot.top()), QPointF(x, plot.bottom()))
                painter.setPen(QColor(tokens.ink3))
                here = datetime.fromtimestamp(instant, UTC).astimezone(zone)
                said = minute_words(here.hour * 60 + here.minute, found.person.clock)
                self._centred(painter, x, plot.bottom() + 2, said)
                if here.date() != named:
                    named = here.date()
                    day = date_words(named, named, found.person)
                    self._centred(painter, x, plot.bottom() + 2 + metrics.height(), day)
            at += timedelta(hours=step)

    def _centred(self, painter: QPainter, x: float, top: float, text: str) -> None:
        metrics = QFontMetricsF(painter.font())
        wide = metrics.horizontalAdvance(text) + 2
        at = max(0.0, min(x - wide / 2, self.width() - wide))
        room = QRectF(at, top, wide, metrics.height())
        painter.drawText(room, Qt.AlignmentFlag.AlignCenter, text)

    def _paint_glucose(
        self, painter: QPainter, area: QRectF, scale: GlucoseScale, tokens: Tokens
    ) -> None:
        found = self._found
        assert found is not None
        self._name(painter, area, str(found.person.unit), tokens)

        def y(value: float) -> float:
            return area.bottom() - (value - scale.low) / (scale.high - scale.low) * area.height()

        for tick in scale.ticks:
            self._tick(painter, area, y(tick.value), number_words(tick.text), tokens)
        pairs = zip(found.glucose_at.tolist(), found.glucose.tolist(), strict=True)
        for (instant, value), seen in zip(pairs, found.glucose_seen, strict=True):
            look = MarkLook(
                level=seen.level,
                tail=tail_of(seen.mark),
                doubt=seen.in_doubt,
                off_scale=seen.glucose.bound,
            )
            at = QPointF(self._x(area, instant), y(value))
            paint_mark(painter, at, look, tokens, text_scale())

    def _paint_ketones(self, painter: QPainter, area: QRectF, tokens: Tokens) -> None:
        found = self._found
        assert found is not None
        values: list[float] = found.ketones.tolist()
        top = max(_LEAST_KETONES, 1.1 * max(values, default=0.0))

        def y(value: float) -> float:
            return area.bottom() - value / top * area.height()

        self._name(painter, area, tr("blood ketones, {unit}").format(unit=UNIT), tokens)
        metrics = QFontMetricsF(painter.font())
        for band in found.bands:
            if not band.begins:
                continue
            at = round(y(band.begins))
            painter.setPen(QPen(QColor(tokens.edge), 1))
            painter.drawLine(QPointF(area.left(), at), QPointF(area.right(), at))
            self._tick(painter, area, at, number_words(str(band.begins)), tokens)
            painter.setPen(QColor(tokens.ink3))
            words = metrics.elidedText(band.words, Qt.TextElideMode.ElideRight, px(140))
            room = QRectF(area.right() + 6, at - metrics.height() / 2, px(144), metrics.height())
            if self.layoutDirection() is Qt.LayoutDirection.RightToLeft:
                room.moveRight(area.left() - 6)
            painter.drawText(room, leading(self) | Qt.AlignmentFlag.AlignVCenter, words)
        if not values:
            painter.setPen(QColor(tokens.ink2))
            none = tr("no blood ketones written (n 0)")
            painter.drawText(area, Qt.AlignmentFlag.AlignCenter, none)
        for instant, value in zip(found.ketones_at.tolist(), values, strict=True):
            at_point = QPointF(self._x(area, instant), y(value))
            paint_ketone(painter, at_point, tokens, text_scale())

    def _name(self, painter: QPainter, area: QRectF, text: str, tokens: Tokens) -> None:
        """What is drawn, above its area."""
        metrics = QFontMetricsF(painter.font())
        painter.setPen(QColor(tokens.ink2))
        room = QRectF(0, area.top() - metrics.height() - 2, self.width(), metrics.height())
        painter.drawText(room, leading(self) | Qt.AlignmentFlag.AlignVCenter, text)

    def _tick(self, painter: QPainter, area: QRectF, y: float, text: str, tokens: Tokens) -> None:
        metrics = QFontMetricsF(painter.font())
        painter.setPen(QColor(tokens.ink3))
        rtl = self.layoutDirection() is Qt.LayoutDirection.RightToLeft
        begin = area.right() + 6 if rtl else 0.0
        room = QRectF(begin, y - metrics.height() / 2, px(44) - 6, metrics.height())
        painter.drawText(room, trailing(self) | Qt.AlignmentFlag.AlignVCenter, text)

    def _restyle(self) -> None:
        self.updateGeometry()
        self.update()
