"""One question in a window of its own, for what was begun from a menu."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from app.look.type import Role
from app.ui.controls import Answer, Label, ToAnswer
from app.ui.controls.drawing import RESERVE, px


class AskDialog(QDialog):
    """A sentence and its answers; Esc, or closing it, leaves everything as it is.

    Parameters
    ----------
    answered : callable
        Told the key of the answer once the window is closed; never told of Esc.
    """

    def __init__(
        self,
        title: str,
        sentence: str,
        answers: Sequence[Answer],
        answered: Callable[[str], object],
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._told = answered
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.question = ToAnswer(sentence, answers, self, stacked=True)
        words = Label(title, self, role=Role.SECTION)
        words.setContentsMargins(RESERVE, 0, RESERVE, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(px(24), px(20), px(24), px(20))
        column.setSpacing(px(10))
        column.addWidget(words)
        column.addWidget(self.question)
        self.setMinimumWidth(px(460))
        self.question.answered.connect(self._on_answered)
        self.question.setFocus()

    def _on_answered(self, key: str) -> None:
        self.accept()
        self._told(key)
