"""What went wrong with the line, as a sentence under it beside a brass bar."""

from __future__ import annotations

from PySide6.QtCore import QRect
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QColor,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.look.theme import tokens_now
from app.ui.controls.drawing import mirrored, px
from app.ui.controls.wrapping import WrapLabel, hfw_policy

_BAR = 3


class Trouble(QWidget):
    """Hidden while nothing is wrong; a long path breaks where the column ends."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._label = WrapLabel("", self)
        column = QVBoxLayout(self)
        column.setContentsMargins(_BAR + px(7), 0, 0, 0)
        column.addWidget(self._label)
        self.setSizePolicy(hfw_policy())
        self.hide()

    @property
    def sentence(self) -> str:
        """What went wrong; empty when nothing did."""
        return self._label.text()

    def say(self, sentence: str) -> None:
        """Show a sentence, also to a screen reader; an empty one takes it away."""
        if sentence == self.sentence:
            return
        self._label.setText(sentence)
        self.setAccessibleName(sentence)
        self.setVisible(bool(sentence))
        if sentence:
            QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, sentence))

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        bar = mirrored(self, QRect(0, 0, _BAR, self.height()))
        painter.fillRect(bar, QColor(tokens_now().brass))
        painter.end()
