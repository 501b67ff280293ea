"""A visit: its day, and what came of it."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QDate, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.ui.appointment.words import tr
from app.ui.controls import Button, DateField, Field, LineField, SectionTitle
from app.ui.controls.drawing import px
from app.ui.gate import writes
from app.ui.session import Session
from app.ui.words import date_format


class VisitForm(QWidget):
    """Signals: kept(date, str) with the day and what came of the visit."""

    kept = Signal(object, str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        today = session.today()
        self.day = DateField(
            QDate(today.year, today.month, today.day),
            self,
            order=date_format(session.person.date_order),
            name=tr("Day of the visit"),
        )
        self.outcome = writes(
            LineField(
                parent=self,
                placeholder=tr("what came of it, later"),
                name=tr("What came of the visit"),
            )
        )
        self.keep = writes(Button(tr("Write the visit down"), self))
        self.keep.clicked.connect(self._on_keep)
        self.outcome.returnPressed.connect(self._on_keep)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(6))
        column.addWidget(SectionTitle(tr("Visit"), self))
        column.addWidget(Field(tr("Day"), self.day, parent=self))
        column.addWidget(self.outcome)
        column.addWidget(self.keep)

    def _on_keep(self) -> None:
        chosen = self.day.date()
        self.kept.emit(date(chosen.year(), chosen.month(), chosen.day()), self.outcome.text())
        self.outcome.clear()
