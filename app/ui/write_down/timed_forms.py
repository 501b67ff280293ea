"""The forms of what has a time: needed help, a ketone test, an event."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial

from PySide6.QtCore import QTime
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.domain.person import Person
from app.ui.controls import CheckBox, LineField, TimeField
from app.ui.controls.drawing import px
from app.ui.write_down.form import Form, wide_choice
from app.ui.write_down.saving import Asked, Done, write_event, write_help, write_ketones
from app.ui.write_down.times import clock_of, time_format
from app.ui.write_down.words import EVENTS, tr

_EATEN = ("meal", "snack", "exercise")


class HelpForm(Form):
    """Another person's help was needed, whatever the number."""

    def __init__(self, person: Person, now: datetime, parent: QWidget | None = None) -> None:
        super().__init__(person, now, parent)
        self.what = LineField()
        self.with_reading = CheckBox(tr("with the reading nearest to it"))
        self.add(
            tr("What &happened"),
            self.what,
            hint=tr("In a few words, or nothing. It is counted apart from every number."),
        )
        self.add(tr("&When"), self.when)
        self.add_bare(self.with_reading)
        self.with_reading.setToolTip(tr("Up to half an hour away; without one, nothing is saved"))

    def call(self) -> Callable[[Asked], Done]:
        return partial(
            write_help,
            at=self.when.typed,
            what=self.what.text(),
            with_reading=self.with_reading.isChecked(),
        )


class KetoneForm(Form):
    """A ketone test of blood or urine."""

    def __init__(self, person: Person, now: datetime, parent: QWidget | None = None) -> None:
        super().__init__(person, now, parent)
        self.value = LineField(placeholder="0.8")
        self.keeper = LineField()
        self.add(
            tr("&Result"),
            self.value,
            hint=tr("Blood in mmol/L: 0.8, HI. Urine: negative, trace, small, moderate, large."),
        )
        self.add(tr("&When"), self.when)
        self.add(tr("&Keeper"), self.keeper, hint=tr("who wrote it; may stay empty"))

    def call(self) -> Callable[[Asked], Done]:
        assert self.value is not None
        return partial(
            write_ketones,
            at=self.when.typed,
            result=self.value.text(),
            keeper=self.keeper.text() if self.keeper else "",
        )


class EventForm(Form):
    """Something done, eaten or felt."""

    def __init__(self, person: Person, now: datetime, parent: QWidget | None = None) -> None:
        super().__init__(person, now, parent)
        self.kind = wide_choice(EVENTS, tr("Event"))
        self.text = LineField()
        self.ends = CheckBox(tr("until"))
        self.until = TimeField(QTime(0, 0), order=time_format(person.clock), name=tr("until"))
        self.value = LineField()
        self.keeper = LineField()
        self.add(tr("&Event"), self.kind)
        self.add(tr("In &words"), self.text, hint=tr("what it was; may stay empty"))
        self.add(tr("When it &began"), self.when)
        self.add_bare(self._end())
        self._carbs = self.add(tr("&Carbohydrate in grams"), self.value, hint=tr("may stay empty"))
        self.add(tr("&Keeper"), self.keeper, hint=tr("who wrote it; may stay empty"))
        self.kind.currentIndexChanged.connect(lambda _at: self._fit())
        self._fit()

    def call(self) -> Callable[[Asked], Done]:
        assert self.value is not None
        kind = str(self.kind.value())
        return partial(
            write_event,
            at=self.when.typed,
            kind=kind,
            text=self.text.text(),
            until=clock_of(self.until) if self.ends.isChecked() else None,
            carbs=self.value.text() if kind in _EATEN else "",
            keeper=self.keeper.text() if self.keeper else "",
        )

    def _end(self) -> QWidget:
        line = QWidget(self)
        row = QHBoxLayout(line)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(px(6))
        row.addWidget(self.ends)
        row.addWidget(self.until)
        row.addStretch(1)
        self.until.setVisible(False)
        self.ends.toggled.connect(self._on_ends)
        self.until.timeChanged.connect(self.changed)
        return line

    def _on_ends(self, on: bool) -> None:
        if on:
            self.until.setTime(self.when.time.time().addSecs(3600))
        self.until.setVisible(on)
        self.changed.emit()

    def _fit(self) -> None:
        self._carbs.setVisible(self.kind.value() in _EATEN)
