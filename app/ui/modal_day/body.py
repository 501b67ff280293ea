"""The chart with its slots and the line below, or what is said where there are no readings."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QStackedLayout, QVBoxLayout, QWidget

from app.domain.person import Person
from app.look.theme import follow_theme
from app.look.type import Role
from app.review.modal_day import ModalDay
from app.ui.controls import Button, ElidedLabel, FoldingRow, Label, TextColumn
from app.ui.controls.drawing import px
from app.ui.modal_day.legend import TailLegend
from app.ui.modal_day.plot import ModalDayChart
from app.ui.modal_day.slot_table import SlotTable
from app.ui.modal_day.words import brief, tr

_MOST = 640  # px of the chart's height at a text size of 13 px


class Body(QWidget):
    """Signals: newest_asked() the days of the newest reading are wanted, or the entry line."""

    newest_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.chart = ModalDayChart()
        self.slots = SlotTable()
        self._finding = TextColumn("", self)
        self._line = ElidedLabel("", self, ink="ink")
        self._hint = tr(
            "Point at a mark or walk with the arrow keys: it is told here. Enter opens Readings."
        )
        full, column = QWidget(), QVBoxLayout()
        full.setLayout(column)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        said, row = QWidget(), QHBoxLayout()
        said.setLayout(row)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self._finding, 100)
        row.addStretch(1)
        column.addWidget(FoldingRow(said, TailLegend(), main_px=320))
        column.addSpacing(px(4))
        column.addWidget(self.chart, 1)
        column.addWidget(self.slots)
        column.addSpacing(px(6))
        column.addWidget(self._line)
        column.addStretch(0)
        self._title = Label("", self, role=Role.EMPTY, wrap=True)
        self._why = TextColumn("", self, ink="ink2")
        self._button = Button("", self)
        empty, words = QWidget(), QVBoxLayout()
        empty.setLayout(words)
        words.setContentsMargins(0, px(24), 0, 0)
        words.setSpacing(px(8))
        for widget in (self._title, self._why):
            words.addWidget(widget)
        words.addWidget(self._button, 0, Qt.AlignmentFlag.AlignLeading)
        words.addStretch(1)
        self._pages = QStackedLayout(self)
        self._pages.addWidget(full)
        self._pages.addWidget(empty)
        self._button.clicked.connect(self.newest_asked)
        self.chart.laid_out.connect(self._tie)
        self.say("")
        follow_theme(self._restyle)

    def show_day(self, found: ModalDay, person: Person) -> None:
        """Show the chart and its slots."""
        self._pages.setCurrentIndex(0)
        self._finding.setText(brief(found))
        self.slots.show_slots(found.slots_along, found.unit)
        self.chart.show_day(found, person)
        self._tie()
        self.say("")

    def show_nothing(self, title: str, why: str, *, has_newest: bool) -> None:
        """Say that there is nothing to draw, and what can be done."""
        self._pages.setCurrentIndex(1)
        self._title.setText(title)
        self._why.setText(why)
        self._button.setText(
            tr("Show the days of the newest reading") if has_newest else tr("Go to the line")
        )
        self._button.setAccessibleName(self._button.text())

    def say(self, line: str) -> None:
        """Write the line below the chart; the hint where nothing is pointed at."""
        self._line.setText(line or self._hint)
        self._line.set_ink("ink" if line else "ink3")
        self.chart.setAccessibleDescription(line or self._hint)

    @property
    def line(self) -> str:
        """What the line below the chart says."""
        return self._line.text()

    def _tie(self) -> None:
        plot = self.chart.sight().plot
        if self.chart.is_by_slot:  # each column stands right below its slot
            self.slots.tie((), plot.left(), plot.right())
        else:
            self.slots.tie(self.chart.leaders(), plot.left(), float(self.chart.width()))

    def _restyle(self) -> None:
        self.chart.setMaximumHeight(px(_MOST))
