"""The head of the Patterns page: the period, and the way to ask a question of one's own."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from app.look.icons import Icon
from app.ui.controls import Button, PageHead
from app.ui.controls.drawing import px
from app.ui.patterns.words import tr
from app.ui.period_bar import PeriodBar
from app.ui.session import Session


class PatternsHead(QWidget):
    """Signals: ask_asked()."""

    ask_asked = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.period = PeriodBar(session, self)
        self.ask = Button(tr("Ask a question"), icon=Icon.PLUS)
        tools = QWidget(self)
        self._tools = QBoxLayout(QBoxLayout.Direction.LeftToRight, tools)
        self._tools.setContentsMargins(0, 0, 0, 0)
        for tool in (self.period, self.ask):
            self._tools.addWidget(tool, 0, Qt.AlignmentFlag.AlignLeading)
        self._head = PageHead(tr("Patterns"), parent=self, tools=[tools])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(6))
        column.addWidget(self._head)
        column.addWidget(self.period.from_to)
        self.ask.clicked.connect(self.ask_asked)

    def take_focus(self) -> None:
        """Go to the chosen period."""
        self.period.take_focus()

    def set_subtitle(self, text: str) -> None:
        """Change the line below the title."""
        self._head.set_subtitle(text)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fold(event.size().width())

    def _fold(self, width: int) -> None:
        """Let the button drop below the periods where both are too wide for the page."""
        gap = px(8)
        narrow = self.period.sizeHint().width() + gap + self.ask.sizeHint().width() > width
        self._tools.setSpacing(px(4) if narrow else gap)
        self._tools.setDirection(
            QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight
        )
