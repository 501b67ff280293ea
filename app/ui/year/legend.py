"""What the signs of the year mean, each sign beside its words."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.domain.glucose import Unit
from app.domain.levels import HIGH_ABOVE, LOW_BELOW, Level
from app.look.hatch import paint_hatch
from app.look.marks import MarkLook, paint_mark
from app.look.median import MEDIAN_PX, paint_median
from app.look.theme import follow_theme, tokens_now
from app.look.tokens import Tokens
from app.look.type import Role, font, text_scale
from app.statistics.enough import SLOT_BOX
from app.ui.controls import FlowRow
from app.ui.controls.drawing import leading, mirrored, px
from app.ui.words import count_words
from app.ui.year.words import limit_words, tr

_SIGN, _GAP = 20, 4

Paint = Callable[[QPainter, QRectF, Tokens], None]


class Legend(FlowRow):
    """The box, single marks, what is below and above, and the hatch; goes on in the next line."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self._below = _Sign(lambda *where: _mark(Level.LOW, *where))
        self._beyond = _Sign(lambda *where: _mark(Level.HIGH, *where))
        few = count_words(SLOT_BOX.needed)
        box = _Sign(_box, tr("median, middle half, from n {n}").format(n=few))
        one = _Sign(lambda *where: _mark(Level.IN_RANGE, *where), tr("one reading, where fewer"))
        gap = _Sign(_hatched, tr("not tested"))
        super().__init__([box, one, self._below, self._beyond, gap], parent, gap=16)

    def show_unit(self, unit: Unit) -> None:
        """Name the two limits in a unit."""
        below = tr("L: below {limit}, each and how many")
        above = tr("H: above {limit} {unit}, how many")
        self._below.set_text(below.format(limit=limit_words(LOW_BELOW, unit)))
        self._beyond.set_text(above.format(limit=limit_words(HIGH_ABOVE, unit), unit=unit))
        self.settle()


class _Sign(QWidget):
    """One sign with its words."""

    def __init__(self, paint: Paint, text: str = "") -> None:
        super().__init__()
        self._paint, self._text = paint, text
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(text)
        follow_theme(self._restyle)

    def set_text(self, text: str) -> None:
        """Change the words."""
        self._text = text
        self.setAccessibleName(text)
        self._restyle()

    def sizeHint(self) -> QSize:
        metrics = QFontMetrics(font(Role.SMALL))
        wide = px(_SIGN) + px(_GAP) + metrics.horizontalAdvance(self._text) + 2
        return QSize(wide, metrics.height() + px(4))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        sign = mirrored(self, QRect(0, 0, px(_SIGN), self.height()))
        self._paint(painter, QRectF(sign), tokens)
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink3))
        rest = mirrored(self, self.rect().adjusted(px(_SIGN) + px(_GAP), 0, 0, 0))
        painter.drawText(rest, leading(self) | Qt.AlignmentFlag.AlignVCenter, self._text)
        painter.end()

    def _restyle(self) -> None:
        self.updateGeometry()
        self.update()


def _mark(level: Level, painter: QPainter, area: QRectF, tokens: Tokens) -> None:
    at = QPointF(area.center().x(), area.center().y())
    paint_mark(painter, at, MarkLook(level), tokens, text_scale() * 0.8)


def _box(painter: QPainter, area: QRectF, tokens: Tokens) -> None:
    box = QRectF(area.left() + 1, area.top() + 3, area.width() - 3, area.height() - 7)
    painter.setPen(QPen(QColor(tokens.spe), 1))
    painter.setBrush(QColor(tokens.sp1))
    painter.drawRect(box.toRect())
    thick = MEDIAN_PX * text_scale()
    bar = QRectF(box.left(), round(box.center().y()), round(box.width()) + 1, thick)
    paint_median(painter, bar, tokens)


def _hatched(painter: QPainter, area: QRectF, tokens: Tokens) -> None:
    paint_hatch(painter, area.adjusted(1, 2, -1, -2), tokens, text_scale())
