"""The row of choices above the chart: which view, what is drawn, where the day begins."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.domain.person import Person
from app.review.modal_day import ModalDay
from app.review.modal_day_marks import View
from app.ui.controls import CheckBox, Choice, Segment, Segments
from app.ui.controls.flow import FlowRow
from app.ui.modal_day.words import tr
from app.ui.words import count_words, minute_words

_HOURS = range(7)


def spaced(widget: QWidget) -> QWidget:
    """The widget with a little room above and below, for rows that go on in the next line."""
    holder = QWidget()
    row = QHBoxLayout(holder)
    row.setContentsMargins(0, 2, 0, 2)
    row.addWidget(widget)
    return holder


class ViewBar(QWidget):
    """Signals: asked() other numbers are wanted, drawn_changed() the same are drawn otherwise."""

    asked = Signal()
    drawn_changed = Signal()

    def __init__(self, parent: QWidget | None = None, *, person: Person) -> None:
        super().__init__(parent)
        self._views = Segments(
            [Segment("clock", tr("By the clock")), Segment("slots", tr("By slot"))],
            name=tr("View"),
        )
        self.readings = CheckBox(tr("&Readings"), checked=True)
        self.boxes = CheckBox(tr("&Median"), checked=True)
        self.windows = CheckBox(tr("Every 2 ho&urs"))
        self.day_lines = CheckBox(tr("Day &lines"))
        self.rechecks = CheckBox(tr("Rechecks"), checked=True)
        self.doubtful = CheckBox(tr("In doubt"), checked=True)
        self._start = Choice(name=tr("Where the axis begins"))
        self.show_person(person)
        self.boxes.setToolTip(tr("The median and the middle half of each slot, from 5 readings"))
        self.windows.setToolTip(
            tr("Median and middle half of 2 hours, every half hour, from 12 readings on 7 days")
        )
        self.day_lines.setToolTip(tr("A thin line through the readings of each day"))
        self.rechecks.setToolTip(tr("Readings within 60 minutes after a low"))
        items = (
            self._views,
            self.readings,
            self.boxes,
            self.windows,
            self.day_lines,
            self.rechecks,
            self.doubtful,
            self._start,
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        self._flow = FlowRow([spaced(item) for item in items], self, gap=6)
        column.addWidget(self._flow)
        self._views.chosen.connect(self._on_view)
        for box in (self.windows, self.rechecks, self.doubtful):
            box.toggled.connect(self._on_asked)
        for box in (self.readings, self.boxes, self.day_lines):
            box.toggled.connect(self._on_drawn)
        self._start.activated.connect(self._on_asked)

    @property
    def view(self) -> View:
        """The view that is chosen."""
        return "slots" if self._views.value() == "slots" else "clock"

    @property
    def start_hour(self) -> int:
        """The hour at which the axis begins."""
        hour = self._start.value()
        return hour if isinstance(hour, int) else 0

    def choose_view(self, view: View) -> None:
        """Show another view."""
        self._views.choose(view)
        self._on_view(view)

    def show_person(self, person: Person) -> None:
        """Name the hours as the person's clock does, and begin where the person's days begin."""
        self._start.clear()
        for hour in _HOURS:
            at = minute_words(hour * 60, person.clock)
            self._start.addItem(tr("From {hour}").format(hour=at), hour)
        self._start.choose(person.day_start)

    def show_counts(self, found: ModalDay) -> None:
        """Say how many rechecks and doubtful readings there are; without any, offer no choice."""
        self.rechecks.setText(tr("Rechecks ({n})").format(n=count_words(found.rechecks)))
        self.rechecks.setVisible(found.rechecks > 0)
        self.doubtful.setText(tr("In doubt ({n})").format(n=count_words(found.doubtful)))
        self.doubtful.setVisible(found.doubtful > 0)
        self.windows.setVisible(self.view == "clock")
        self._start.setVisible(self.view == "clock")
        self.day_lines.setVisible(self.view == "clock" and found.density is None)
        self._flow.settle()

    def _on_view(self, _value: object) -> None:
        self.asked.emit()

    def _on_asked(self, *_what: object) -> None:
        self.asked.emit()

    def _on_drawn(self, *_what: object) -> None:
        self.drawn_changed.emit()
