"""Strip vials as bars on a time axis: in use, still in date, in doubt; control tests upon them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFontMetrics,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.domain.control import Verdict
from app.look.hatch import paint_hatch
from app.look.marks import paint_control
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.review.kit import KitShown
from app.review.kit_vials import VialLine
from app.ui.controls.drawing import paint_ring, px
from app.ui.kit.words import day_named, many, tr

_ROW, _HEAD, _BAR, _FOOT = 26, 26, 12, 18
_NAMES = 150
_MOST_OF_METER = 4  # vials of a meter: the newest
_EPOCH_DAY = date(1970, 1, 1).toordinal()


@dataclass(frozen=True, slots=True)
class Bar:
    """One vial with one meter; days are date ordinals, `doubt` the words for what is in doubt."""

    meter: str
    vial: str
    first: float
    last: float
    good_until: int | None
    in_use: bool
    words: str
    hatched_from: float | None
    tests: tuple[tuple[float, bool], ...]
    id: int  # of the vial

    @property
    def said(self) -> str:
        """The bar in words."""
        return f"{self.meter}, {self.vial}: {self.words}".rstrip(": ")


class VialBars(QWidget):
    """All bars on one axis. One Tab stop; up and down walk the bars and say each in words.

    Signals: chosen(int) the local id of a vial, by Enter or a double click.
    """

    chosen = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bars: tuple[Bar, ...] = ()
        self._today = 0
        self._at = 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        follow_theme(self._restyle)

    def show_kit(self, shown: KitShown) -> None:
        """Show the newest vials of each meter."""
        self._bars, self._today = bars_of(shown), shown.today
        self._at = min(self._at, max(0, len(self._bars) - 1))
        self._tell()
        self.updateGeometry()
        self.update()

    @property
    def bars(self) -> tuple[Bar, ...]:
        """The bars from top to bottom."""
        return self._bars

    def sizeHint(self) -> QSize:
        return QSize(px(640), px(_HEAD) + px(_ROW) * len(self._bars) + px(_FOOT))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(320), self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()), 0)
        if step and self._bars:
            self._at = min(max(self._at + step, 0), len(self._bars) - 1)
            self._tell()
            self.update()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._bars:
            self.chosen.emit(self._bars[self._at].id)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        row = int(event.position().y() - px(_HEAD)) // px(_ROW)
        if 0 <= row < len(self._bars):
            self._at = row
            self._tell()
            self.update()

    def mouseDoubleClickEvent(self, _event: QMouseEvent) -> None:
        if self._bars:
            self.chosen.emit(self._bars[self._at].id)

    def paintEvent(self, _event: QPaintEvent) -> None:
        if not self._bars:
            return
        painter, tokens = QPainter(self), tokens_now()
        names = min(px(_NAMES), self.width() // 4)
        small = QFontMetrics(font(Role.SMALL))
        words = max(small.horizontalAdvance(bar.words) for bar in self._bars) + px(14)
        right = min(max(words, px(40)), self.width() // 3)
        first = min(bar.first for bar in self._bars)
        until = max(max(bar.last, bar.good_until or 0) for bar in self._bars)
        plot = QRectF(names, px(_HEAD), max(1, self.width() - names - right), self.height())
        wide = max(1.0, until - first)

        def x_of(day: float) -> float:
            return plot.left() + (day - first) / wide * plot.width()

        self._paint_months(painter, plot, first, until, x_of(first), wide)
        meter = ""
        for row, bar in enumerate(self._bars):
            top = px(_HEAD) + row * px(_ROW)
            if bar.meter != meter:
                painter.fillRect(QRectF(0, top, self.width(), 1), QColor(tokens.edge))
                painter.setFont(font(Role.STRONG))
                painter.setPen(QColor(tokens.ink))
                shown = QFontMetrics(font(Role.STRONG)).elidedText(
                    bar.meter, Qt.TextElideMode.ElideRight, names // 2 - 4
                )
                painter.drawText(
                    QRectF(0, top, names / 2, px(_ROW)), Qt.AlignmentFlag.AlignVCenter, shown
                )
                meter = bar.meter
            painter.setFont(font(Role.SMALL))
            painter.setPen(QColor(tokens.ink2))
            vial = small.elidedText(bar.vial, Qt.TextElideMode.ElideRight, names // 2 - 4)
            place = QRectF(names / 2, top, names / 2, px(_ROW))
            painter.drawText(place, Qt.AlignmentFlag.AlignVCenter, vial)
            middle = top + px(_ROW) / 2
            box = QRectF(x_of(bar.first), middle - px(_BAR) / 2, 0, px(_BAR))
            box.setRight(max(box.left() + 2, x_of(bar.last)))
            painter.fillRect(box, QColor(tokens.sp1))
            if bar.hatched_from is not None:
                doubt = QRectF(box)
                doubt.setLeft(min(box.right() - 2, max(box.left(), x_of(bar.hatched_from))))
                painter.fillRect(doubt, QColor(tokens.page))
                paint_hatch(painter, doubt, tokens)
            painter.setPen(QPen(QColor(tokens.spe), 1))
            painter.drawRect(box)
            if bar.in_use and bar.good_until is not None and bar.good_until > self._today:
                pen = QPen(QColor(tokens.spe), 1, Qt.PenStyle.DashLine)
                painter.setPen(pen)
                good = QRectF(box)
                good.setLeft(box.right())
                good.setRight(x_of(bar.good_until + 1))
                painter.drawRect(good)
            for day, passed in bar.tests:
                at = QPointF(x_of(day), middle)
                paint_control(painter, at, tokens, px(13) / 13, failed=not passed)
            painter.setFont(font(Role.SMALL))
            painter.setPen(QColor(tokens.ink))
            words = small.elidedText(bar.words, Qt.TextElideMode.ElideRight, right - px(12))
            place = QRectF(plot.right() + px(10), top, right - px(10), px(_ROW))
            painter.drawText(place, Qt.AlignmentFlag.AlignVCenter, words)
            if self.hasFocus() and row == self._at:
                ring = QRectF(0, top, self.width(), px(_ROW)).toRect().adjusted(1, 1, -1, -1)
                paint_ring(painter, ring, tokens.ink, radius=2)
        today = x_of(self._today)
        foot = px(_HEAD) + px(_ROW) * len(self._bars)
        painter.fillRect(
            QRectF(today, px(_HEAD) - 4, 2, foot - px(_HEAD) + 8), QColor(tokens.brass)
        )
        painter.setFont(font(Role.SMALL_STRONG))
        painter.setPen(QColor(tokens.brass))
        said = tr("today")
        room = QFontMetrics(painter.font()).horizontalAdvance(said) + px(2)
        left = min(today + px(6), self.width() - room)
        place = QRectF(left, foot, room, px(_FOOT))
        painter.drawText(place, Qt.AlignmentFlag.AlignVCenter, said)
        painter.end()

    def _paint_months(
        self, painter: QPainter, plot: QRectF, first: float, until: float, left: float, wide: float
    ) -> None:
        tokens = tokens_now()
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink3))
        metrics = QFontMetrics(font(Role.SMALL))
        day = date.fromordinal(int(first)).replace(day=1)
        free = -1.0
        while day.toordinal() <= until:
            x = left + (day.toordinal() - first) / wide * plot.width()
            name = f"{day:%b} {day.year}" if day.month == 1 or free < 0 else f"{day:%b}"
            if x >= plot.left() - 1 and x > free:
                painter.fillRect(QRectF(x, px(_HEAD), 1, self.height()), QColor(tokens.grid))
                painter.drawText(QPointF(x + 3, px(_HEAD) - 8), name)
                free = x + metrics.horizontalAdvance(name) + px(12)
            day = (day.replace(day=28) + (date(2000, 1, 5) - date(2000, 1, 1))).replace(day=1)

    def _tell(self) -> None:
        count = many(len(self._bars), "{n} strip vial", "{n} strip vials")
        here = f". {self._bars[self._at].said}" if self._bars else ""
        self.setAccessibleName(f"{count}{here}")
        self.setToolTip("\n".join(bar.said for bar in self._bars))

    def _restyle(self) -> None:
        self.updateGeometry()
        self.update()


def bars_of(shown: KitShown) -> tuple[Bar, ...]:
    """The newest vials of each meter, meter by meter, the older ones first."""
    found: list[Bar] = []
    for line in shown.meters:
        own = [
            (use.start, vial)
            for vial in shown.vials
            for use in vial.uses
            if use.meter == line.meter.id
        ]
        newest = sorted(own, key=lambda each: each[0])[-_MOST_OF_METER:]
        found += [_bar(vial, line.meter.id, line.meter.name, shown) for _, vial in newest]
    return tuple(found)


def _bar(line: VialLine, meter: int, name: str, shown: KitShown) -> Bar:
    use = [each for each in line.uses if each.meter == meter][-1]
    first = _day_of(use.start)
    last = float(shown.today) + 1 if use.end is None else _day_of(use.end)
    lapsed = line.last_good is not None and line.lapsed > 0
    fails = [each for each in shown.fails if each.vial == line.vial.name and each.meter == name]
    tests = tuple(
        (_day_of(each.judged.at), each.judged.verdict is not Verdict.FAILED)
        for each in shown.tests
        if each.judged.vial == line.vial.id and each.meter == name
    )
    hatched = None
    if lapsed and line.last_good is not None:
        hatched = float(line.last_good + 1)
    elif fails and line.failed:
        since = fails[-1].since
        hatched = first if since is None else max(first, _day_of(since))
    return Bar(
        meter=name,
        vial=line.vial.name,
        first=first,
        last=last,
        good_until=line.last_good,
        in_use=use.end is None,
        words=_words(line, shown),
        hatched_from=hatched,
        tests=tests,
        id=line.vial.id,
    )


def _words(line: VialLine, shown: KitShown) -> str:
    said = []
    doubted = line.lapsed + line.failed + line.heat
    if doubted:
        said.append(many(doubted, "? {n} reading in doubt", "? {n} readings in doubt"))
    if line.in_use and line.last_good is not None:
        day = day_named(line.last_good, shown.today, shown.person)
        over = line.last_good < shown.today
        said.append((tr("lapsed {day}") if over else tr("lapses {day}")).format(day=day))
    if line.in_use and line.left.left is not None:
        said.append(many(line.left.left, "{n} strip left", "{n} strips left"))
    return " · ".join(said)


def _day_of(instant: int) -> float:
    """A day with its part as a date ordinal, by UTC: the axis is in weeks."""
    return datetime.fromtimestamp(instant, UTC).timestamp() / 86_400 + _EPOCH_DAY
