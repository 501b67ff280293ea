"""The only legend: what the tails of the marks mean."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.domain.levels import Level
from app.look.marks import MarkLook, paint_mark
from app.look.shapes import Tail
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font, text_scale
from app.ui.controls.drawing import leading, mirrored, px
from app.ui.modal_day.words import tr

_SIGN = 22
_GAP = 14


class TailLegend(QWidget):
    """Three marks with their words."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._parts = (
            (Tail.RIGHT, tr("before a meal")),
            (Tail.LEFT, tr("after a meal")),
            (Tail.NONE, tr("other")),
        )
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        said = tr("The tail of a mark points at the meal: right before one, left after one.")
        self.setAccessibleName(said)
        self.setToolTip(said)
        follow_theme(self._restyle)

    def sizeHint(self) -> QSize:
        metrics = QFontMetrics(font(Role.SMALL))
        wide = sum(px(_SIGN + _GAP) + metrics.horizontalAdvance(text) for _, text in self._parts)
        return QSize(wide - px(_GAP) + 2, metrics.height() + px(8))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        painter.setFont(font(Role.SMALL))
        metrics, left = QFontMetrics(painter.font()), 0
        for tail, text in self._parts:
            sign = mirrored(self, QRect(left, 0, px(_SIGN), self.height()))
            look = MarkLook(Level.IN_RANGE, tail)
            paint_mark(painter, QPointF(sign.center()), look, tokens, text_scale())
            wide = metrics.horizontalAdvance(text)
            painter.setPen(QColor(tokens.ink2))
            words = mirrored(self, QRect(left + px(_SIGN), 0, wide + 2, self.height()))
            painter.drawText(words, leading(self) | Qt.AlignmentFlag.AlignVCenter, text)
            left += px(_SIGN + _GAP) + wide
        painter.end()

    def _restyle(self) -> None:
        self.updateGeometry()
        self.update()
