"""The head of the Figures page: the period, and the figures with doubt or without."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from app.review.figures import Figures
from app.ui.controls import Choice, PageHead
from app.ui.controls.drawing import px
from app.ui.figures.words import many, tr
from app.ui.period_bar import PeriodBar
from app.ui.session import Session


class FiguresHead(QWidget):
    """Signals: doubt_chosen()."""

    doubt_chosen = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.period = PeriodBar(session, self)
        self.doubt = Choice(
            [(tr("With doubt"), True), (tr("Without doubt"), False)],
            name=tr("Readings in doubt"),
        )
        tools = QWidget(self)
        self._tools = QBoxLayout(QBoxLayout.Direction.LeftToRight, tools)
        self._tools.setContentsMargins(0, 0, 0, 0)
        for tool in (self.period, self.doubt):
            self._tools.addWidget(tool, 0, Qt.AlignmentFlag.AlignLeading)
        self._head = PageHead(tr("Figures"), parent=self, tools=[tools])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(6))
        column.addWidget(self._head)
        column.addWidget(self.period.from_to)
        self.doubt.activated.connect(self._on_doubt)

    @property
    def with_doubt(self) -> bool:
        """Whether readings in doubt are in the figures."""
        return bool(self.doubt.value())

    def take_focus(self) -> None:
        """Go to the chosen period."""
        self.period.take_focus()

    def set_subtitle(self, text: str) -> None:
        """Change the line below the title."""
        self._head.set_subtitle(text)

    def show_doubt(self, whole: Figures) -> None:
        """Say beside the choice how many are in doubt."""
        count = sum(whole.doubt.values()) and whole.without_doubt.left_out
        self.doubt.setToolTip(
            many(count, "{n} reading is in doubt", "{n} readings are in doubt")
            if count
            else tr("No reading of this period is in doubt")
        )
        self.doubt.setAccessibleDescription(self.doubt.toolTip())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fold(event.size().width())

    def _fold(self, width: int) -> None:
        """Let the choice of doubt drop below the periods where both are too wide for the page."""
        gap = px(12)
        narrow = self.period.sizeHint().width() + gap + self.doubt.sizeHint().width() > width
        self._tools.setSpacing(px(4) if narrow else gap)
        self._tools.setDirection(
            QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight
        )

    def _on_doubt(self, _at: int) -> None:
        self.doubt_chosen.emit()
