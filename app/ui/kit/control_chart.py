"""Control tests over time, each within or outside the range printed for its vial and level."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QWidget

from app.domain.control import Verdict
from app.domain.person import Person
from app.look.marks import paint_control
from app.look.theme import tokens_now
from app.look.type import Role, font
from app.review.control_drawn import DrawnTest, drawn_tests
from app.review.kit import KitShown
from app.ui.controls.drawing import px
from app.ui.kit.control_words import said_test, short_verdict
from app.ui.kit.small_chart import MARK, Scale, SmallChart, span_of
from app.ui.kit.words import many, tr
from app.ui.words import day_words, number_words

_STEP, _WIDEST_STEP = 52, 120  # px of a test, at a text size of 13 px
_AXIS, _TOP, _LINES = 44, 26, 4


class ControlChart(SmallChart):
    """One column a test of one level, in the order of time: those of one hour stand apart too."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Control tests over time"), parent)
        self._tests: tuple[DrawnTest, ...] = ()
        self._shown: KitShown | None = None

    def show_kit(self, shown: KitShown, level: str) -> None:
        """Show all tests of a level, whose ranges go together; the newest is pointed at first."""
        own = tuple(each for each in shown.tests if each.judged.test.level == level)
        self._tests, self._shown = drawn_tests(own, shown.person.unit), shown
        self.begin_at(len(self._tests) - 1)

    def place_of(self, test: int) -> int | None:
        """The place of a test by its local id; None where it is not shown."""
        ids = [each.line.judged.test.id for each in self._tests]
        return ids.index(test) if test in ids else None

    @property
    def tests(self) -> tuple[DrawnTest, ...]:
        """The tests from left to right."""
        return self._tests

    def count(self) -> int:
        return len(self._tests)

    def said(self, at: int) -> str:
        assert self._shown is not None
        return said_test(self._tests[at].line, self._shown)

    def sizeHint(self) -> QSize:
        line = QFontMetrics(font(Role.SMALL)).height()
        return QSize(px(640), px(_TOP) + px(140) + _LINES * line + px(10))

    def draw(self, painter: QPainter) -> list[QPointF]:
        assert self._shown is not None
        person, tokens = self._shown.person, tokens_now()
        line = QFontMetrics(font(Role.SMALL)).height()
        plot = QRectF(
            px(_AXIS),
            px(_TOP),
            max(1, self.width() - px(_AXIS) - px(6)),
            self.height() - px(_TOP) - _LINES * line - px(10),
        )
        scale = Scale(*self._span(), plot)
        scale.paint(painter, str(person.unit))
        fit = max(1, int(plot.width() // px(_STEP)))
        first = max(0, min(self._at_left(fit), len(self._tests) - fit))
        seen = self._tests[first : first + fit]
        step = min(px(_WIDEST_STEP), plot.width() / len(seen))
        places = [QPointF()] * len(self._tests)
        for column, test in enumerate(seen):
            middle = plot.left() + (column + 0.5) * step
            self._paint_range(painter, test, scale, middle, step, joined=column > 0 and test.joins)
            places[first + column] = QPointF(middle, self._y_of(test, scale))
        for column, test in enumerate(seen):
            self._paint_test(painter, test, places[first + column])
            before = seen[column - 1] if column else None
            self._paint_below(painter, test, before, places[first + column].x(), step, plot, line)
        painter.setPen(QColor(tokens.ink3))
        if first:
            earlier = many(first, "{n} earlier to the left", "{n} earlier to the left")
            painter.drawText(
                QRectF(plot.left(), 0, plot.width(), line),
                Qt.AlignmentFlag.AlignRight,
                earlier,
            )
        return places

    def _at_left(self, fit: int) -> int:
        """The first column to show, so that the mark pointed at is in sight."""
        last = len(self._tests) - fit
        return last if self.at >= last else max(0, self.at - 1)

    def _span(self) -> tuple[float, float]:
        values = [
            each
            for test in self._tests
            for each in (test.value, test.low, test.high)
            if each is not None
        ]
        if not values:
            values = [0.0]
        return span_of(values, air=max(0.4, (max(values) - min(values)) * 0.12))

    @staticmethod
    def _y_of(test: DrawnTest, scale: Scale) -> float:
        if test.value is not None:
            return scale.y_of(test.value)
        if test.off is not None:
            inset = px(MARK)
            return scale.plot.bottom() - inset if test.off == "below" else scale.plot.top() + inset
        return scale.plot.center().y()

    @staticmethod
    def _paint_range(
        painter: QPainter,
        test: DrawnTest,
        scale: Scale,
        middle: float,
        step: float,
        *,
        joined: bool,
    ) -> None:
        if test.low is None or test.high is None:
            return
        tokens = tokens_now()
        top, bottom = round(scale.y_of(test.high)), round(scale.y_of(test.low))
        left = middle - step / 2 + (0 if joined else px(4))
        right = middle + step / 2
        painter.fillRect(QRectF(left, top, right - left, bottom - top), QColor(tokens.sp1))
        for y in (top, bottom):
            painter.fillRect(QRectF(left, y, right - left, 1), QColor(tokens.spe))

    @staticmethod
    def _paint_test(painter: QPainter, test: DrawnTest, at: QPointF) -> None:
        tokens, size = tokens_now(), px(MARK)
        if test.verdict is Verdict.NO_RANGE:
            painter.setPen(QPen(QColor(tokens.ink2), 1.4))
            painter.setBrush(QColor(tokens.page))
            painter.drawRect(
                QRectF(at.x() - size / 2.8, at.y() - size / 2.8, size / 1.4, size / 1.4)
            )
        else:
            failed = test.verdict is Verdict.FAILED
            paint_control(painter, at, tokens, size / MARK, failed=failed)

    def _paint_below(
        self,
        painter: QPainter,
        test: DrawnTest,
        before: DrawnTest | None,
        middle: float,
        step: float,
        plot: QRectF,
        line: int,
    ) -> None:
        """Word, day and vial under a test; the year where it is another one."""
        assert self._shown is not None
        tokens, person, judged = tokens_now(), self._shown.person, test.line.judged
        passed = test.verdict is Verdict.PASSED
        vial = test.line.vial or tr("vial ?")
        glucose = judged.test.glucose
        rows = [
            (number_words(glucose.shown(glucose.unit)), Role.SMALL_STRONG),
            (short_verdict(judged), Role.SMALL if passed else Role.SMALL_STRONG),
            (_day_named(test, before, person), Role.SMALL),
            (vial, Role.SMALL),
        ]
        for at, (text, role) in enumerate(rows):
            painter.setFont(font(role))
            painter.setPen(QColor(tokens.ink if role is Role.SMALL_STRONG else tokens.ink2))
            metrics = QFontMetrics(painter.font())
            text = metrics.elidedText(text, Qt.TextElideMode.ElideRight, int(step) - 2)
            room = QRectF(middle - step / 2, plot.bottom() + px(6) + at * line, step, line)
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter, text)


def _day_named(test: DrawnTest, before: DrawnTest | None, person: Person) -> str:
    """The day, once for tests of one day."""
    wall: date = test.line.judged.test.moment.local.date()
    if before is not None and before.line.judged.test.moment.local.date() == wall:
        return "\u2033"
    return day_words(wall, person.date_order, year=False, short=True)
