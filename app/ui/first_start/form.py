"""The questions about a person; none but name, unit and zone must be answered."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from zoneinfo import available_timezones

from PySide6.QtCore import Qt, QTimeZone, Signal
from PySide6.QtWidgets import QButtonGroup, QCompleter, QGridLayout, QHBoxLayout, QWidget

from app.domain.errors import Refused
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.minutes import minute_words
from app.domain.person import Person, checked_name
from app.domain.wishes import Wishes
from app.ui.controls import Choice, FieldNote, Label, LineField, RadioButton
from app.ui.controls.drawing import px
from app.ui.first_start.goals import GoalsField
from app.ui.first_start.times import UsualTimes


class PersonForm(QWidget):
    """Name, unit, zone, clock, dates, start of the day, usual times, goals, emergency number.

    Signals: changed() after every answer.
    """

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(px(16))
        self._grid.setVerticalSpacing(px(2))
        self._grid.setColumnStretch(1, 1)
        self.name = LineField(parent=self)
        self._mg, self._mmol = (
            RadioButton("mg/dL", self, hint=self.tr("such as 112")),
            RadioButton("mmol/L", self, hint=self.tr("such as 6.2")),
        )
        self._units = QButtonGroup(self)
        self.zone = Choice([(name, name) for name in sorted(available_timezones())], self)
        self.clock = Choice(
            [(self.tr("24 hours, 18:05"), 24), (self.tr("12 hours, 6:05 PM"), 12)], self
        )
        self.dates = Choice(
            [
                (self.tr("day first, 31/12/2026"), "dmy"),
                (self.tr("month first, 12/31/2026"), "mdy"),
                (self.tr("year first, 2026-12-31"), "ymd"),
            ],
            self,
        )
        self.day_start = Choice([(minute_words(60 * hour), hour) for hour in range(7)], self)
        self.times = UsualTimes(self)
        self.goals = GoalsField(self)
        self.number = LineField(parent=self)
        self._build()

    def wishes(self, *, targets_from: int) -> Wishes:
        """What was answered.

        Raises
        ------
        Refused
            An answer is missing or can't be kept; the field that is meant has the focus.
        """
        try:
            name = checked_name(self.name.text())
        except Refused:
            self.name.setFocus()
            raise
        unit = self._unit()
        if unit is None:
            self._mg.setFocus()
            raise Refused(self.tr("Which unit does the meter show? Look at its display."))
        if str(self.zone.currentText()) not in available_timezones():
            self.zone.setFocus()
            raise Refused(
                self.tr('"{zone}" is no time zone; choose one from the list.').format(
                    zone=self.zone.currentText()
                )
            )
        return Wishes(
            name=name,
            unit=unit,
            zone=self.zone.currentText(),
            clock=int(str(self.clock.value())),
            date_order=str(self.dates.value()),
            day_start=int(str(self.day_start.value())),
            usual_times=self.times.minutes(),
            targets=self.goals.targets(targets_from),
            emergency_number=self.number.text(),
        )

    def show_person(
        self, person: Person, times: Mapping[Mark, int], goals: str | None, number: str
    ) -> None:
        """Fill in what is kept of a person."""
        self.name.setText(person.name)
        (self._mg if person.unit is Unit.MG_DL else self._mmol).setChecked(True)
        self.zone.setCurrentText(person.zone)
        self.clock.choose(person.clock)
        self.dates.choose(person.date_order)
        self.day_start.choose(person.day_start)
        self.times.show_minutes(times, person.clock)
        self.number.setText(number)
        if goals is not None:
            self.goals.keep(goals)

    def answers(self) -> dict[str, Any]:
        """What stands in the form, finished or not, to be taken up again later."""
        return {
            "name": self.name.text(),
            "unit": self._unit(),
            "zone": self.zone.currentText(),
            "clock": self.clock.value(),
            "dates": self.dates.value(),
            "day_start": self.day_start.value(),
            "times": self.times.texts,
            "goals": self.goals.texts,
            "number": self.number.text(),
        }

    def show_answers(self, answers: Mapping[str, Any]) -> None:
        """Fill in what was left half way; what does not fit is passed over."""
        self.name.setText(str(answers.get("name", "")))
        for button, unit in ((self._mg, Unit.MG_DL), (self._mmol, Unit.MMOL_L)):
            button.setChecked(answers.get("unit") == unit.value)
        self.zone.setCurrentText(str(answers.get("zone", self.zone.currentText())))
        for choice, key in (
            (self.clock, "clock"),
            (self.dates, "dates"),
            (self.day_start, "day_start"),
        ):
            if choice.findData(answers.get(key)) >= 0:
                choice.choose(answers[key])
        self.times.show_texts(_texts(answers.get("times")))
        self.goals.show_texts(_texts(answers.get("goals")))
        self.number.setText(str(answers.get("number", "")))

    def _unit(self) -> Unit | None:
        if self._mg.isChecked():
            return Unit.MG_DL
        return Unit.MMOL_L if self._mmol.isChecked() else None

    def _build(self) -> None:
        units = QWidget(self)
        row = QHBoxLayout(units)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(px(20))
        for button in (self._mg, self._mmol):
            self._units.addButton(button)
            row.addWidget(button)
        row.addStretch(1)
        self.zone.setEditable(True)
        self.zone.setInsertPolicy(Choice.InsertPolicy.NoInsert)
        completer = self.zone.completer() or QCompleter(self)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
        popup = completer.popup()
        if popup is not None:
            popup.setObjectName("popup")  # a window of its own: it needs a ground
        here = bytes(QTimeZone.systemTimeZoneId().data()).decode()
        self.zone.setCurrentText(here if here in available_timezones() else "UTC")
        self._ask(
            self.tr("&Whose readings?"),
            self.name,
            self.tr("A name is enough. You can add a second person later."),
        )
        self._ask(
            self.tr("The meter shows"),
            units,
            self.tr("Look at its display. What you type is kept in this unit, for ever."),
        )
        self._ask(self.tr("Wh&ere"), self.zone, self.tr("For clock changes and travel."))
        self._ask(self.tr("&Clock"), self.clock, "")
        self._ask(self.tr("&Dates"), self.dates, "")
        self._ask(
            self.tr("A day s&tarts at"),
            self.day_start,
            self.tr("With 04:00 a test at 02:30 belongs to the evening before."),
        )
        self._ask(
            self.tr("Usual times"),
            self.times,
            self.tr(
                "When you mostly test; leave empty what you do not know. "
                "Nothing is marked by them, only suggested."
            ),
        )
        self._ask(self.tr("Targets"), self.goals, "")
        self._ask(
            self.tr("Emergency &number"),
            self.number,
            self.tr("Shown beside a low or a very high reading. No number is built in."),
        )
        self._units.buttonToggled.connect(lambda _button, _on: self._on_unit())
        for field in (self.name, self.number):
            field.textEdited.connect(lambda _text: self.changed.emit())
        for choice in (self.zone, self.clock, self.dates, self.day_start):
            choice.currentIndexChanged.connect(lambda _at: self.changed.emit())
        self.times.changed.connect(self.changed)
        self.goals.changed.connect(self.changed)

    def _ask(self, words: str, control: QWidget, hint: str) -> None:
        row = self._grid.rowCount()
        label = Label(words, self, ink="ink2", at_end=True)
        label.setBuddy(control)
        plain = words.replace("&", "")
        if not control.accessibleName():
            control.setAccessibleName(plain)
        control.setAccessibleDescription(hint)
        side = Qt.AlignmentFlag.AlignTop
        label.setContentsMargins(0, px(7), 0, 0)
        self._grid.addWidget(label, row, 0, side)
        self._grid.addWidget(control, row, 1)
        self._grid.addWidget(FieldNote(hint, self), row + 1, 1)
        self._grid.setRowMinimumHeight(row + 2, px(10))

    def _on_unit(self) -> None:
        unit = self._unit()
        if unit is not None:
            self.goals.show_unit(unit)
        self.changed.emit()


def _texts(found: object) -> dict[str, str]:
    if not isinstance(found, dict):
        return {}
    return {str(key): str(value) for key, value in found.items()}
