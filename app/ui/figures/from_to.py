"""Two date fields for a period of one's own."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QDate, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.domain.clock import Period
from app.domain.person import Person
from app.ui.controls import Button, DateField, FieldNote, Label
from app.ui.figures.words import date_format, tr


class FromTo(QWidget):
    """From and to, both days included. Signals: chosen(Period), left() by Escape.

    Enter in a field or the button takes the two days over; what was typed stays where they are
    upside down.
    """

    chosen = Signal(object)
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        today = QDate(2000, 1, 1)
        self.first = DateField(today, self, order="d MMM yyyy", name=tr("From, first day"))
        self.last = DateField(today, self, order="d MMM yyyy", name=tr("To, last day included"))
        self._show = Button(tr("Show"), self, size="bar")
        self._note = FieldNote("", self)
        row = QHBoxLayout()
        row.setSpacing(8)
        for word, field in ((tr("&From"), self.first), (tr("t&o"), self.last)):
            label = Label(word, self, ink="ink2")
            label.setBuddy(field)
            row.addWidget(label)
            row.addWidget(field)
        row.addWidget(self._show)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addLayout(row)
        column.addWidget(self._note)
        self._show.clicked.connect(self._on_show)

    def set_period(self, period: Period, person: Person) -> None:
        """Put a period into the fields, in the person's date order."""
        for field, day in ((self.first, period.first), (self.last, period.last)):
            field.setDisplayFormat(date_format(person))
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
                tr("The first day comes after the last one. The figures are as they were.")
            )
            return
        self._note.clear_error()
        self.chosen.emit(Period(first, last))


def _day(field: DateField) -> date:
    chosen = field.date()
    return date(chosen.year(), chosen.month(), chosen.day())
