"""The sentence before all figures: how far to trust the average, and what was not tested."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from app.look.theme import follow_theme, tokens_now
from app.ui.controls import Label
from app.ui.controls.drawing import mirrored, paint_box, px

_BAR = 3


class TrustBox(QFrame):
    """A box with a bar of ink at its leading edge; the verdict in the heavier weight."""

    help_key = "trust"

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = Label("", self, wrap=True)
        self._words.setTextFormat(Qt.TextFormat.RichText)
        self._column = QVBoxLayout(self)
        self._column.addWidget(self._words)
        follow_theme(self._restyle)

    def say(self, verdict: str, sentences: str) -> None:
        """Show the verdict and the sentences that say why."""
        self._words.setText(f"<b>{escape(verdict)}</b> {escape(sentences)}")
        self._words.setAccessibleName(f"{verdict} {sentences}".strip())
        self.setAccessibleName(f"{verdict} {sentences}".strip())

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        paint_box(painter, self.rect(), fill=tokens.page, edge=tokens.line, radius=0)
        painter.fillRect(mirrored(self, QRect(0, 0, _BAR, self.height())), QColor(tokens.ink))
        painter.end()

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(16), px(8), px(16), px(8))
        self.update()
