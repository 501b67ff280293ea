"""Which days the pages speak of: whole lengths, everything, or from one day to another."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QDate, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.clock import Period
from app.ui.controls import Button, FieldNote, Label, Segment, Segments, periods
from app.ui.controls.dates import DateField
from app.ui.now.flow import FlowRow
from app.ui.readings.line import tr

_ALL = "all"
_OWN = "own"
_ORDERS = {"dmy": "d MMM yyyy", "mdy": "MMM d yyyy", "ymd": "yyyy-MM-dd"}


class PeriodSegments(Segments):
    """The lengths of a period, all, and one of one's own.

    Signals: days_chosen(int), all_chosen(), own_chosen().
    """

    days_chosen = Signal(int)
    all_chosen = Signal()
    own_chosen = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        lengths = periods(own="", word=tr("days"))
        self._lengths = [segment.value for segment in lengths]
        super().__init__(
            [
                *lengths,
                Segment(_ALL, tr("All")),
                Segment(_OWN, tr("From – to")),
            ],
            parent,
            name=tr("Period"),
        )
        self.chosen.connect(self._on_chosen)

    def show_period(self, days: int | None, *, is_all: bool) -> None:
        """Show what is chosen now: a length, all, or else one of one's own."""
        self.choose(_ALL if is_all else days if days in self._lengths else _OWN)

    def _on_chosen(self, value: object) -> None:
        if isinstance(value, int):
            self.days_chosen.emit(value)
        elif value == _ALL:
            self.all_chosen.emit()
        else:
            self.own_chosen.emit()


class OwnPeriod(QWidget):
    """A row of two dates. Signals: chosen(Period)."""

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        order = _ORDERS["dmy"]
        self.first = DateField(QDate.currentDate(), self, order=order, name=self.tr("First day"))
        self.last = DateField(QDate.currentDate(), self, order=order, name=self.tr("Last day"))
        self._show = Button(self.tr("Show these days"), self)
        self._note = FieldNote("", self)
        row = FlowRow(
            [
                Label(self.tr("From"), ink="ink2"),
                self.first,
                Label(self.tr("to"), ink="ink2"),
                self.last,
                self._show,
            ],
            self,
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(row)
        column.addWidget(self._note)
        self._show.clicked.connect(self._on_show)
        for field in (self.first, self.last):
            field.lineEdit().returnPressed.connect(self._on_show)

    def offer(self, period: Period, date_order: str) -> None:
        """Begin with the days of a period, in the person's order of dates."""
        for field, day in ((self.first, period.first), (self.last, period.last)):
            field.setDisplayFormat(_ORDERS.get(date_order, _ORDERS["dmy"]))
            field.setDate(QDate(day.year, day.month, day.day))
        self._note.clear_error()

    def _on_show(self) -> None:
        first, last = _date(self.first), _date(self.last)
        if first > last:
            self._note.show_error(
                self.tr("The last day lies before the first; change one of them.")
            )
            self.last.setFocus()
            return
        self._note.clear_error()
        self.chosen.emit(Period(first, last))


def _date(field: DateField) -> date:
    shown = field.date()
    return date(shown.year(), shown.month(), shown.day())
