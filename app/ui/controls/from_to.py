"""Two date fields for a period from one day to another, both included."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QDate, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.clock import Period
from app.ui.controls.buttons import Button
from app.ui.controls.dates import DateField
from app.ui.controls.fields import FieldNote
from app.ui.controls.flow import FlowRow
from app.ui.controls.labels import Label

_SOME_DAY = QDate(2000, 1, 1)  # until a period is shown


class FromTo(QWidget):
    """From and to. Signals: chosen(Period) by Enter or the button, left() by Escape.

    Days that are upside down are refused, and stay as they were typed.
    """

    chosen = Signal(object)
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        order = "d MMM yyyy"
        self.first = DateField(_SOME_DAY, self, order=order, name=self.tr("From, first day"))
        self.last = DateField(_SOME_DAY, self, order=order, name=self.tr("To, last day included"))
        self._show = Button(self.tr("Show these days"), self)
        self._note = FieldNote("", self)
        begin = Label(self.tr("&From"), self, ink="ink2")
        end = Label(self.tr("t&o"), self, ink="ink2")
        for label, field in ((begin, self.first), (end, self.last)):
            label.setBuddy(field)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(FlowRow([begin, self.first, end, self.last, self._show], self))
        column.addWidget(self._note)
        self._show.clicked.connect(self._on_show)

    def show_period(self, period: Period, date_format: str) -> None:
        """Put a period into the fields, in Qt's format of the person's order of dates."""
        for field, day in ((self.first, period.first), (self.last, period.last)):
            field.setDisplayFormat(date_format)
            field.setDate(QDate(day.year, day.month, day.day))
        self._note.clear_error()

    def take_focus(self) -> None:
        """Go to the first field."""
        self.first.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._on_show()
        elif event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def _on_show(self) -> None:
        first, last = _day(self.first), _day(self.last)
        if first > last:
            self._note.show_error(
                self.tr(
                    "The first day comes after the last one, so the days shown are as they were. "
                    "Change one of the two."
                )
            )
            return
        self._note.clear_error()
        self.chosen.emit(Period(first, last))


def _day(field: DateField) -> date:
    shown = field.date()
    return date(shown.year(), shown.month(), shown.day())
