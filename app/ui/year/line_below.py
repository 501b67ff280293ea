"""The line about what is pointed at: below the page, where it is seen wherever one has scrolled."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.ui.controls import Hairline, Label
from app.ui.controls.drawing import px


class LineBelow(QWidget):
    """Room for two lines of text below a rule, so that nothing moves while one walks."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = Label("", self, wrap=True)
        self._column = QVBoxLayout(self)
        self._column.setSpacing(px(4))
        self._column.addWidget(Hairline(self))
        self._column.addWidget(self._words)
        follow_theme(self._restyle)

    def say(self, text: str, is_about_something: bool) -> None:  # a signal's slot
        """Say it; what only tells how to point stands back."""
        self._words.setText(text)
        self._words.set_ink("ink" if is_about_something else "ink3")

    @property
    def text(self) -> str:
        """What it says."""
        return self._words.text()

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(24), 0, px(24), px(6))
        self._words.setMinimumHeight(2 * self._words.fontMetrics().height())
