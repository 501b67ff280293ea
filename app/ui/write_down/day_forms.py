"""The forms of what belongs to whole days: days with a name, a change, a lab value, a tag."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial

from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QWidget

from app.domain.person import Person
from app.ui.controls import CheckBox, DateField, LineField, RadioButton
from app.ui.controls.drawing import px
from app.ui.write_down.form import Form, wide_choice
from app.ui.write_down.saving import Asked, Done, write_change, write_days, write_lab, write_tag
from app.ui.write_down.times import day_field, day_of
from app.ui.write_down.words import DAYS, tr
from app.work.note_days import SETTLING_DAYS


class LabForm(Form):
    """A laboratory's result, as printed."""

    def __init__(self, person: Person, now: datetime, parent: QWidget | None = None) -> None:
        super().__init__(person, now, parent)
        self.value = LineField(placeholder="7.9 %")
        self.day = day_field(person, now, tr("Day of the blood test"))
        self.add(
            tr("&Result as printed, with its unit"),
            self.value,
            hint=tr("A1C: 7.9 %, 63 mmol/mol. Glucose: 110 mg/dL, 6.1 mmol/L."),
        )
        self.add(tr("&Day of the blood test"), at_start(self.day))

    def call(self) -> Callable[[Asked], Done]:
        assert self.value is not None
        return partial(write_lab, day=day_of(self.day), result=self.value.text())


class ChangeForm(Form):
    """Something that is done differently from a day on."""

    def __init__(self, person: Person, now: datetime, parent: QWidget | None = None) -> None:
        super().__init__(person, now, parent)
        self.what = LineField()
        self.day = day_field(person, now, tr("From this day on"))
        self.settling = LineField(str(SETTLING_DAYS))
        self.add(
            tr("What is done &differently"),
            self.what,
            hint=tr("As you would say it. Before and after can be compared; no cause is claimed."),
        )
        self.add(tr("&From this day on"), at_start(self.day))
        self.add(
            tr("Days to &settle"),
            self.settling,
            hint=tr("A comparison leaves out so many days from it on."),
        )

    def call(self) -> Callable[[Asked], Done]:
        return partial(
            write_change,
            day=day_of(self.day),
            what=self.what.text(),
            settling=self.settling.text(),
        )


class DaysForm(Form):
    """Whole days with a name: sick days, travel, days to set aside."""

    def __init__(self, person: Person, now: datetime, parent: QWidget | None = None) -> None:
        super().__init__(person, now, parent)
        self.kind = wide_choice(DAYS, tr("Days"))
        self.text = LineField()
        self.first = day_field(person, now, tr("First day"))
        self.last = day_field(person, now, tr("Last day"))
        self.go_on = CheckBox(tr("they go on"))
        self.set_aside = CheckBox(tr("show averages without these days, too"))
        self.add(tr("&Days"), self.kind)
        self.add(tr("In &words"), self.text, hint=tr("needed for a name or a reason of your own"))
        self.add(tr("&First day"), at_start(self.first))
        self.add(tr("&Last day"), at_start(self.last, self.go_on))
        self.add_bare(self.set_aside)
        self.set_aside.setToolTip(tr("No list leaves them out, and lows stay where they are"))
        self.go_on.toggled.connect(self.last.setDisabled)
        self.first.dateChanged.connect(self._on_first)
        self.kind.currentIndexChanged.connect(lambda _at: self._fit())

    def call(self) -> Callable[[Asked], Done]:
        return partial(
            write_days,
            first=day_of(self.first),
            last=None if self.go_on.isChecked() else day_of(self.last),
            kind=str(self.kind.value()),
            text=self.text.text(),
            set_aside=self.set_aside.isChecked(),
        )

    def _on_first(self) -> None:
        """Days that began later end later."""
        if self.last.date() < self.first.date():
            self.last.setDate(self.first.date())

    def _fit(self) -> None:
        is_aside = self.kind.value() == "set_aside"
        self.set_aside.setChecked(is_aside or self.set_aside.isChecked())
        self.set_aside.setDisabled(is_aside)


class TagForm(Form):
    """A word of one's own, on a whole day or on what is written at a minute."""

    def __init__(self, person: Person, now: datetime, parent: QWidget | None = None) -> None:
        super().__init__(person, now, parent)
        self.value = LineField()
        self.whole = RadioButton(tr("the whole day"))
        self.minute = RadioButton(tr("the reading or event of that minute"))
        self._group = QButtonGroup(self)
        self.add(tr("&Tag"), self.value, hint=tr("a word or two of your own, without #"))
        self.add(tr("&When"), self.when)
        for button in (self.whole, self.minute):
            self._group.addButton(button)
            self.add_bare(button)
        self.whole.toggled.connect(self._on_whole)
        self.whole.setChecked(True)

    def call(self) -> Callable[[Asked], Done]:
        assert self.value is not None
        at = self.when.typed or self.when.shown
        return partial(
            write_tag,
            day=day_of(self.when.day),
            at=at if self.minute.isChecked() else None,
            label=self.value.text(),
        )

    def _on_whole(self, on: bool) -> None:
        self.when.time.setDisabled(on)
        self.changed.emit()


def at_start(field: DateField, *others: QWidget) -> QWidget:
    """A field that keeps its own width at the start of its line."""
    line = QWidget()
    row = QHBoxLayout(line)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(px(10))
    for each in (field, *others):
        row.addWidget(each)
    row.addStretch(1)
    line.setFocusProxy(field)
    return line
