"""A period of one's own: two dates, shown once "From – to" is chosen."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QDate, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.domain.clock import Period
from app.ui.controls import Button, Label
from app.ui.controls.dates import DateField
from app.ui.modal_day.words import tr

_ORDERS = {"dmy": "d MMM yyyy", "mdy": "MMM d yyyy", "ymd": "yyyy-MM-dd"}


class OwnPeriod(QWidget):
    """Two dates and a button. Signals: chosen(Period)."""

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None, *, date_order: str) -> None:
        super().__init__(parent)
        order = _ORDERS[date_order]
        today = QDate(2000, 1, 1)
        self._first = DateField(today, self, order=order, name=tr("From"))
        self._last = DateField(today, self, order=order, name=tr("To"))
        self._show = Button(tr("Show these days"), self)
        self._trouble = Label("", self, ink="ink2")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        for text, field in ((tr("&From"), self._first), (tr("&to"), self._last)):
            label = Label(text, self, ink="ink2")
            label.setBuddy(field)
            row.addWidget(label)
            row.addWidget(field)
        row.addWidget(self._show)
        row.addWidget(self._trouble, 1)
        self._show.clicked.connect(self._on_show)

    def show_period(self, period: Period) -> None:
        """Put a period into the fields."""
        self._first.setDate(_qdate(period.first))
        self._last.setDate(_qdate(period.last))
        self._trouble.setText("")

    def take_focus(self) -> None:
        """Put the focus into the first date."""
        self._first.setFocus()

    def _on_show(self) -> None:
        first, last = self._first.date(), self._last.date()
        if first > last:
            self._trouble.setText(tr("The first day comes after the last one."))
            return
        self._trouble.setText("")
        self.chosen.emit(Period(_date(first), _date(last)))


def _qdate(day: date) -> QDate:
    return QDate(day.year, day.month, day.day)


def _date(day: QDate) -> date:
    return date(day.year(), day.month(), day.day())
