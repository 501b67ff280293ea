"""A section of the Figures page that is folded away, and worked out only while it is unfolded."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.clock import Period
from app.ui.controls import FoldLine
from app.ui.controls.drawing import px
from app.ui.figures.helped import HelpedLine
from app.ui.job import Job
from app.ui.session import Session


class Folded(QWidget):
    """A title that unfolds what `ask_for` works out and `show_found` shows; both are a subclass's.

    `ask_for` gives the call for a period, which runs in another thread; nothing is asked while it
    is folded. `help_key` is that of the whole. Signals: help_asked(str).
    """

    help_asked = Signal(str)
    help_key = ""

    def __init__(self, session: Session, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self._period: Period | None = None
        self.job = Job(self)
        self.job.answered.connect(self._on_answered)
        self.job.failed.connect(session.tell_trouble)
        self.title = FoldLine(title, self)
        self.body = QWidget(self)
        self.column = QVBoxLayout(self.body)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(px(6))
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(px(4))
        row = HelpedLine(self.title, self.help_key, self)
        row.help_asked.connect(self.help_asked)
        outer.addWidget(row)
        outer.addWidget(self.body)
        self.body.setVisible(False)
        self.title.toggled.connect(self._on_toggled)

    def ask(self, period: Period) -> None:
        """Show another period, or the same one after a change."""
        self._period = period
        self.ask_again()

    def ask_again(self) -> None:
        """Work it out anew where it is unfolded; what is shown of others goes at once."""
        self.body.setVisible(False)
        if self.title.isChecked() and self._period is not None:
            self.job.start(self.ask_for(self._period))

    @abstractmethod
    def ask_for(self, period: Period) -> Callable[[], Any]:
        """The call that works it out; it runs in another thread."""

    @abstractmethod
    def show_found(self, found: Any) -> None:
        """Show what was worked out."""

    def _on_answered(self, found: Any) -> None:
        self.show_found(found)
        self.body.setVisible(self.title.isChecked())

    def _on_toggled(self, on: bool) -> None:
        if on:
            self.ask_again()
        else:
            self.body.setVisible(False)
