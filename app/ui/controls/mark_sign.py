"""The mark of one reading with its letter, beside a number."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.domain.glucose import Bound
from app.look.marks import MarkLook, paint_mark
from app.look.shapes import SYMBOL_PX
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font, text_scale
from app.ui.controls.drawing import leading, mirrored

_LEVEL_WORDS = {
    "very_low": "far below",
    "low": "below",
    "in_range": "within",
    "high": "above",
    "very_high": "far above",
}


class MarkSign(QWidget):
    """A mark and its letter: "▼ L". Nothing until `set_look` gives it something to tell."""

    def __init__(
        self, look: MarkLook | None = None, parent: QWidget | None = None, *, scale: float = 1.15
    ) -> None:
        super().__init__(parent)
        self._look, self._scale = look, scale
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        follow_theme(self._restyle)

    def set_look(self, look: MarkLook | None) -> None:
        """Show another mark, or none."""
        self._look = look
        self._restyle()

    def sizeHint(self) -> QSize:
        if self._look is None:
            return QSize(0, 0)
        metrics = QFontMetrics(font(Role.STRONG))
        letters = metrics.horizontalAdvance(self._look.letters)
        gap = metrics.averageCharWidth() if letters else 0
        side = round(SYMBOL_PX * text_scale() * self._scale)
        return QSize(side + gap + letters + 1, max(side, metrics.height()))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        if self._look is None:
            return
        tokens, painter = tokens_now(), QPainter(self)
        scale = text_scale() * self._scale
        side = round(SYMBOL_PX * scale)
        at = mirrored(self, QRect(0, 0, side, self.height()))
        paint_mark(painter, QPointF(at.center()) + QPointF(0.5, 0.5), self._look, tokens, scale)
        painter.setFont(font(Role.STRONG))
        ink = tokens.within if self._look.is_apart else tokens.level_text(self._look.level)
        painter.setPen(QColor(ink))
        rest = self.rect().adjusted(side + painter.fontMetrics().averageCharWidth(), 0, 0, 0)
        painter.drawText(
            mirrored(self, rest), leading(self) | Qt.AlignmentFlag.AlignVCenter, self._look.letters
        )
        painter.end()

    def _restyle(self) -> None:
        self.setAccessibleName(_said(self._look))
        self.updateGeometry()
        self.update()


def _said(look: MarkLook | None) -> str:
    if look is None:
        return ""
    if look.is_apart:
        return look.standing.words
    said = [_LEVEL_WORDS[look.level.value]]
    if look.off_scale is not Bound.EXACT:
        said.append("off the meter's scale")
    if look.doubt:
        said.append("in doubt")
    return ", ".join(said)
