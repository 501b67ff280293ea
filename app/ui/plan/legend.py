"""What the signs of the grid mean; one line, or as many as the page is narrow."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls import FlowRow
from app.ui.controls.drawing import leading, mirrored, px
from app.ui.plan.signs import SIDE, Sign, paint_sign
from app.ui.plan.words import tr

_GAP = 6
_MEANS = {
    Sign.DONE: "done",
    Sign.LATE: "done late",
    Sign.ELSEWHERE: "done elsewhere",
    Sign.NOTHING: "planned, nothing written",
    Sign.ASIDE: "not expected",
    Sign.EXTRA: "more than planned",
    Sign.OVERDUE: "due",
    Sign.OPEN: "to come",
}


class Legend(FlowRow):
    """Every sign that the grid shows, with its meaning."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self.keys = {sign: _Key(sign, tr(words)) for sign, words in _MEANS.items()}
        super().__init__(list(self.keys.values()), parent, gap=16)

    def show_signs(self, shown: set[Sign]) -> None:
        """Name these signs; what does not stand in the grid needs no word."""
        for sign, key in self.keys.items():
            key.setVisible(sign in shown)
        self.settle()


class _Key(QWidget):
    def __init__(self, sign: Sign, words: str) -> None:
        super().__init__()
        self._sign, self._words = sign, words
        self.setAccessibleName(words)
        follow_theme(self._restyle)

    def sizeHint(self) -> QSize:
        metrics = self.fontMetrics()
        wide = px(SIDE) + px(_GAP) + metrics.horizontalAdvance(self._words) + 1
        return QSize(wide, max(metrics.height(), px(SIDE) + 2))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        tokens, painter = tokens_now(), QPainter(self)
        box = self.rect()
        box.setWidth(px(SIDE))
        at = mirrored(self, box)
        paint_sign(painter, QPointF(at.center().x() + 0.5, at.center().y()), self._sign, tokens)
        painter.setPen(tokens.ink2)
        rest = self.rect().adjusted(px(SIDE) + px(_GAP), 0, 0, 0)
        painter.drawText(mirrored(self, rest), leading(self), self._words)
        painter.end()

    def _restyle(self) -> None:
        self.setFont(font(Role.SMALL))
        self.updateGeometry()
        self.update()
