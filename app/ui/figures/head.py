"""The head of the Figures page: the period, from - to on demand, with doubt or without."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QToolButton, QVBoxLayout, QWidget

from app.domain.clock import Period
from app.domain.person import Person
from app.review.figures import Figures
from app.statistics.windows import USUAL_DAYS
from app.ui.controls import Choice, PageHead, Segments, periods
from app.ui.controls.drawing import px
from app.ui.figures.from_to import FromTo
from app.ui.figures.words import many, tr


class FiguresHead(QWidget):
    """Signals: days_chosen(int), period_chosen(Period), doubt_chosen()."""

    days_chosen = Signal(int)
    period_chosen = Signal(object)
    doubt_chosen = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.segments = Segments(
            periods(USUAL_DAYS, word=tr("days"), own=tr("From – to")), name=tr("Period")
        )
        self.doubt = Choice(
            [(tr("With doubt"), True), (tr("Without doubt"), False)],
            name=tr("Readings in doubt"),
        )
        tools = QWidget(self)
        self._tools = QBoxLayout(QBoxLayout.Direction.LeftToRight, tools)
        self._tools.setContentsMargins(0, 0, 0, 0)
        for tool in (self.segments, self.doubt):
            self._tools.addWidget(tool, 0, Qt.AlignmentFlag.AlignLeading)
        self._head = PageHead(tr("Figures"), parent=self, tools=[tools])
        self.from_to = FromTo(self)
        self.from_to.setVisible(False)
        self._choosing = False
        self._period: Period | None = None
        self._person: Person | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(6))
        column.addWidget(self._head)
        column.addWidget(self.from_to)
        self.segments.chosen.connect(self._on_segment)
        self.doubt.activated.connect(self._on_doubt)
        self.from_to.chosen.connect(self._on_own)
        self.from_to.left.connect(self._on_left)

    @property
    def with_doubt(self) -> bool:
        """Whether readings in doubt are in the figures."""
        return bool(self.doubt.value())

    def take_focus(self) -> None:
        """Go to the chosen period."""
        chosen = [b for b in self.segments.findChildren(QToolButton) if b.isChecked()]
        for button in chosen:
            button.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def set_subtitle(self, text: str) -> None:
        """Change the line below the title."""
        self._head.set_subtitle(text)

    def show_period(self, days: int | None, period: Period, person: Person) -> None:
        """Show which period is chosen; while another one is being typed, its fields stay."""
        if period != self._period or person != self._person:
            self._choosing = False
        self._period, self._person = period, person
        if self._choosing:
            return
        usual = days if days in USUAL_DAYS else None
        self.segments.choose(usual)
        self.from_to.set_period(period, person)
        self.from_to.setVisible(usual is None)

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
        narrow = self.segments.sizeHint().width() + gap + self.doubt.sizeHint().width() > width
        self._tools.setSpacing(px(4) if narrow else gap)
        self._tools.setDirection(
            QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight
        )

    def _on_segment(self, value: object) -> None:
        if isinstance(value, int):
            self._choosing = False
            self.from_to.setVisible(False)
            self.days_chosen.emit(value)
            return
        self._choosing = True
        if self._period is not None and self._person is not None:
            self.from_to.set_period(self._period, self._person)
        self.from_to.setVisible(True)

    def _on_own(self, period: Period) -> None:
        self._choosing = False
        self.period_chosen.emit(period)

    def _on_left(self) -> None:
        self.take_focus()

    def _on_doubt(self, _at: int) -> None:
        self.doubt_chosen.emit()
