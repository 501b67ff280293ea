"""When it was: a day and a time, both now until somebody changes them."""

from __future__ import annotations

from datetime import date, datetime

from PySide6.QtCore import QDate, QSignalBlocker, QTime, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.domain.clock import moment_now
from app.domain.person import Person
from app.ui.controls import DateField, TimeField
from app.ui.controls.drawing import px
from app.ui.words import date_format
from app.ui.write_down.words import tr


def time_format(clock: int) -> str:
    """Qt's format of a time of day by a clock of 12 or 24 hours."""
    return "HH:mm" if clock == 24 else "h:mm AP"


def day_field(person: Person, now: datetime, name: str) -> DateField:
    """A field with the day that it is now."""
    today = moment_now(now, person.zone).local.date()
    shown = QDate(today.year, today.month, today.day)
    return DateField(shown, order=date_format(person.date_order), name=name)


def day_of(field: DateField) -> date:
    """The day that stands in a field."""
    shown = field.date()
    return date(shown.year(), shown.month(), shown.day())


class WhenField(QWidget):
    """A day and a time. Signals: changed() when somebody changes them."""

    changed = Signal()

    def __init__(self, person: Person, now: datetime, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._person = person
        self._is_now, self._instead = True, ""
        self.day = day_field(person, now, tr("Day"))
        self.time = TimeField(QTime(0, 0), order=time_format(person.clock), name=tr("Time"))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(px(6))
        row.addWidget(self.day)
        row.addWidget(self.time)
        row.addStretch(1)
        self.setFocusProxy(self.day)
        self.show_now(now)
        self.day.dateChanged.connect(self._on_changed)
        self.time.timeChanged.connect(self._on_changed)

    @property
    def typed(self) -> str | None:
        """The time as it would be typed; None for now."""
        if self._instead:
            return self._instead
        return None if self._is_now else self.shown

    @property
    def shown(self) -> str:
        """What the fields show, as it would be typed."""
        return f"{day_of(self.day)} {clock_of(self.time)}"

    def show_now(self, now: datetime) -> None:
        """Follow the clock, unless somebody changed it."""
        if not self._is_now:
            return
        local = moment_now(now, self._person.zone).local
        blockers = QSignalBlocker(self.day), QSignalBlocker(self.time)
        self.day.setDate(QDate(local.year, local.month, local.day))
        self.time.setTime(QTime(local.hour, local.minute))
        for blocker in blockers:
            blocker.unblock()

    def take(self, answer: str) -> None:
        """Keep the answer to a question about the time, until the fields are changed."""
        self._instead = answer

    def _on_changed(self) -> None:
        self._is_now, self._instead = False, ""
        self.changed.emit()


def clock_of(field: TimeField) -> str:
    """The time that stands in a field: "07:10"."""
    shown = field.time()
    return f"{shown.hour():02d}:{shown.minute():02d}"
