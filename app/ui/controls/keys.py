"""A key as it looks on the keyboard, and what it does here."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import leading, mirrored, paint_box, px

_PADDING = 6
_GAP = 4


class KeyHint(QWidget):
    """A hint such as "Enter" in a box with "saves" beside it."""

    def __init__(self, key: str, does: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._key, self._does = key, does
        self.setAccessibleName(f"{key}: {does}")
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        follow_theme(self._restyle)

    def sizeHint(self) -> QSize:
        metrics = self.fontMetrics()
        does = metrics.horizontalAdvance(self._does) + px(_GAP) if self._does else 0
        return QSize(self._key_width() + does + 1, metrics.height() + 4)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        box = mirrored(self, QRect(0, 0, self._key_width(), self.height()))
        paint_box(painter, box, fill=None, edge=tokens.edge, radius=3)
        painter.setPen(QColor(tokens.ink2))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self._key)
        painter.setPen(QColor(tokens.ink3))
        rest = self.rect().adjusted(self._key_width() + px(_GAP), 0, 0, 0)
        painter.drawText(
            mirrored(self, rest), leading(self) | Qt.AlignmentFlag.AlignVCenter, self._does
        )
        painter.end()

    def _key_width(self) -> int:
        return self.fontMetrics().horizontalAdvance(self._key) + 2 * px(_PADDING)

    def _restyle(self) -> None:
        self.setFont(font(Role.SMALL))
        self.updateGeometry()
        self.update()
