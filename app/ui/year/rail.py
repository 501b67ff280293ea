"""The rail above the months: changes, sick days, visits, A1C and meters, each by name."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QWidget

from app.look.theme import follow_theme, tokens_now
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.review.year import YearMark
from app.ui.controls.drawing import paint_ring, px
from app.ui.words import count_words
from app.ui.year.places import Columns
from app.ui.year.pointed import Pointed
from app.ui.year.rail_marks import joined_by_days
from app.ui.year.rail_places import Placed, Wanted, placed
from app.ui.year.words import mark_words, tr

_BAND = 10.0  # px below the names, where the signs stand
_MOST, _LEAST = 260.0, 80.0  # px of a name
_MOST_PART = 0.3  # of the whole width, where that is more
_PAD = 6  # px that the focus ring keeps from names and signs
_GAP = 4.0
_REACH = 8.0


class YearRail(Pointed):
    """One Tab stop: Left and Right walk the marks, Enter or a click chooses a change.

    Signals: `pointed(YearMark or None)`, `chosen(YearMark)` for a change.
    """

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._marks: tuple[YearMark, ...] = ()
        self._columns = Columns(0.0, 1.0, 1)
        self._date_order = "dmy"
        self._placed: tuple[Placed, ...] = ()
        self.setAccessibleName(tr("Written beside the readings"))
        follow_theme(self._arrange)

    def show_marks(self, marks: Sequence[YearMark], date_order: str) -> None:
        """Show these; nothing is pointed at. Without any there is no rail."""
        self._marks, self._date_order = joined_by_days(marks), date_order
        self.point(None)
        self.setVisible(bool(marks))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if marks else Qt.FocusPolicy.NoFocus)
        self._arrange()

    def set_columns(self, columns: Columns) -> None:
        """Stand above these months."""
        if columns != self._columns:
            self._columns = columns
            self._arrange()

    @property
    def names(self) -> tuple[Placed, ...]:
        """The names as they are placed, those without room too."""
        return self._placed

    @property
    def pointed_at(self) -> YearMark | None:
        """The mark that is pointed at."""
        return None if self._at is None else self._marks[self._at]

    def words(self) -> str:
        """What is known of the mark pointed at; empty where none is."""
        mark = self.pointed_at
        return "" if mark is None else mark_words(mark, self._date_order)

    def sizeHint(self) -> QSize:
        lines = 1 + max((each.line or 0 for each in self._placed), default=0)
        return QSize(px(600), round(lines * self._line() + _BAND * text_scale() + 2 * px(_PAD)))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(300), self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._arrange()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        painter.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        if self.hasFocus():
            paint_ring(painter, self.rect(), tokens.ink)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        for at, (mark, name) in enumerate(zip(self._marks, self._placed, strict=True)):
            self._paint_sign(painter, mark, tokens)
            if name.line is not None:
                self._paint_name(painter, mark, name, tokens, strong=at == self._at)
        self._paint_unnamed(painter, tokens)
        if self._at is not None:
            area = self._sign(self._marks[self._at]).adjusted(-3, -3, 3, 3)
            paint_ring(painter, area.toAlignedRect(), tokens.ink, radius=3)
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, last = Qt.Key(event.key()), len(self._marks) - 1
        if event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier or last < 0:
            event.ignore()
        elif key == Qt.Key.Key_Right:
            self.point(0 if self._at is None else min(self._at + 1, last))
        elif key == Qt.Key.Key_Left:
            self.point(last if self._at is None else max(self._at - 1, 0))
        elif key in (Qt.Key.Key_Home, Qt.Key.Key_End):
            self.point(0 if key == Qt.Key.Key_Home else last)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.choose()
        elif key == Qt.Key.Key_Escape and self._at is not None:
            self.point(None)
        else:
            event.ignore()

    def _paint_name(
        self, painter: QPainter, mark: YearMark, name: Placed, tokens: Tokens, *, strong: bool
    ) -> None:
        """Write a name, with the stem that leads down from it to its sign."""
        metrics, top = QFontMetricsF(font(Role.SMALL)), self._top(name)
        painter.setPen(QPen(QColor(tokens.ink if strong else tokens.edge), 1))
        foot = self._sign(mark).top()
        painter.drawLine(QPointF(name.x, top + 1), QPointF(name.x, foot))
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink if strong or mark.change else tokens.ink2))
        painter.drawText(QPointF(name.left, top + metrics.ascent()), name.text)

    def _paint_unnamed(self, painter: QPainter, tokens: Tokens) -> None:
        """Say before the months how many names found no room; they are in the list below."""
        count = sum(name.line is None for name in self._placed)
        if not count:
            return
        metrics = QFontMetricsF(font(Role.SMALL))
        text = tr("{n} more below").format(n=count_words(count))
        room = self._columns.left - 2 * px(_PAD)
        text = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink3))
        base = self.height() - px(_PAD) - metrics.descent()
        painter.drawText(QPointF(px(_PAD), base), text)

    def _paint_sign(self, painter: QPainter, mark: YearMark, tokens: Tokens) -> None:
        """A change by a thick stroke, days by a bar as long as they are, the rest by a ring."""
        area = self._sign(mark)
        painter.save()
        if mark.change is not None:
            painter.fillRect(area, QColor(tokens.ink))
        elif mark.other.kind == "days":
            painter.setPen(QPen(QColor(tokens.ink2), 1))
            painter.setBrush(QColor(tokens.ink2 if mark.other.is_apart else tokens.sel))
            painter.drawRect(area.adjusted(0, 0, -1, -1))
        elif mark.other.kind == "new meter":
            painter.fillRect(QRectF(area.center().x(), area.top(), 1, area.height()), tokens.ink3)
        else:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(QColor(tokens.ink2), 1.4 * text_scale()))
            painter.setBrush(QColor(tokens.page))
            side = min(area.width(), area.height()) - 1
            at = area.center()
            painter.drawEllipse(at, side / 2, side / 2)
        painter.restore()

    def _sign(self, mark: YearMark) -> QRectF:
        """Where the sign of a mark stands, in the band above the months."""
        tall = _BAND * text_scale() - 3
        left, top = round(self._columns.x(mark.start)), self.height() - tall - px(_PAD)
        if mark.change is not None:
            return QRectF(left - 1, top, px(3), tall + 2)
        if mark.other.kind == "days":
            wide = max(round(self._columns.x(mark.end)) - left, px(4))
            return QRectF(left, top, wide, tall)
        return QRectF(left - tall / 2, top, tall, tall)

    def _top(self, name: Placed) -> float:
        """The upper edge of a name."""
        lowest = self.height() - _BAND * text_scale() - px(_PAD) - self._line()
        return lowest - (name.line or 0) * self._line()

    def _line(self) -> float:
        return QFontMetricsF(font(Role.SMALL)).height() + 2

    def under(self, at: QPointF) -> int | None:
        """The mark whose sign or name is under a point, else the nearest sign within reach."""
        for place, name in enumerate(self._placed):
            area = QRectF(name.left, self._top(name), name.right - name.left, self._line())
            if name.line is not None and area.contains(at):
                return place
        reach = _REACH * text_scale()
        signs = [(self._far(mark, at), place) for place, mark in enumerate(self._marks)]
        near = min(signs, default=(reach + 1, 0))
        return near[1] if near[0] <= reach else None

    def _far(self, mark: YearMark, at: QPointF) -> float:
        area = self._sign(mark)
        if at.y() < area.top() - _REACH:
            return float("inf")
        return max(area.left() - at.x(), at.x() - area.right(), 0.0)

    def choose(self) -> None:
        """Tell of the change that is pointed at."""
        mark = self.pointed_at
        if mark is not None and mark.change is not None:
            self.chosen.emit(mark)

    def _arrange(self) -> None:
        metrics, scale = QFontMetricsF(font(Role.SMALL)), text_scale()
        self._placed = placed(
            [
                # A change is known by its stroke: its name alone is enough.
                Wanted(
                    self._columns.x(mark.start),
                    mark.change.what if mark.change else mark.other.words,
                    mark.change is not None,
                )
                for mark in self._marks
            ],
            metrics.horizontalAdvance,
            lambda text, room: metrics.elidedText(text, Qt.TextElideMode.ElideRight, room + 0.5),
            (self._columns.left - px(_PAD), max(self.width() - px(_PAD), px(60))),
            most=max(_MOST * scale, _MOST_PART * self.width()),
            least=_LEAST * scale,
            gap=_GAP * scale,
        )
        if self.height() != self.sizeHint().height():
            self.setFixedHeight(self.sizeHint().height())
        self.updateGeometry()
        self.update()
