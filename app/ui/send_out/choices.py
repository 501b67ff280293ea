"""What is chosen of an export: its form, whose, which days, and what of it leaves."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QDate, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.clock import Period
from app.domain.person import Person
from app.ui.controls import (
    CheckBox,
    Choice,
    DateField,
    Field,
    FieldNote,
    FlowRow,
    Label,
    TextColumn,
)
from app.ui.controls.drawing import px
from app.ui.send_out.wish import Form, Wish
from app.ui.send_out.words import form_names, form_says, part_names, person_choices, tr
from app.ui.session import Session
from app.ui.words import date_format, period_words

ALL, SHOWN, OWN = "all", "shown", "own"
_PAPERS = ("A4", "Letter")


class Choices(QWidget):
    """Fields below each other; those that a form has no use for are hidden. Signals: changed()."""

    changed = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._days_said = False
        person = session.person
        self.form = Choice(form_names(), name=tr("What"))
        self.says = TextColumn("", self, ink="ink2")
        self.person = Choice(person_choices(session.persons), name=tr("Whose"))
        self.person.choose(next(each for each in session.persons if each.uid == person.uid))
        shown = period_words(session.period, person.date_order)
        self.days = Choice(
            [
                (tr("Every day there is"), ALL),
                (tr("The days shown: {days}").format(days=shown), SHOWN),
                (tr("From – to"), OWN),
            ],
            name=tr("Days"),
        )
        order = date_format(person.date_order)
        period = session.period
        self.first = DateField(_qdate(period.first), self, order=order, name=tr("From, first day"))
        self.last = DateField(_qdate(period.last), self, order=order, name=tr("To, last day"))
        self.upside_down = FieldNote(parent=self)
        self.parts = {part: CheckBox(words, checked=True) for part, words in part_names()}
        self.paper = Choice([(name, name) for name in _PAPERS], name=tr("Paper"))
        self.quiet = CheckBox(tr("Say only “reminder”"))
        self.zoned = Choice((), name=tr("By which clocks"))
        self._name_clocks()
        self._lay_out()
        self._connect()
        self._fit()

    def wish(self) -> Wish | None:
        """What is chosen; None while the days are upside down."""
        form, person = self._form(), self.person.value()
        if not isinstance(person, Person):
            raise TypeError("a choice without what it stands for")
        if form.has_days and self._is_upside_down():
            return None
        parts = {part for part, box in self.parts.items() if not box.isChecked()}
        return Wish(
            form=form,
            person=person,
            period=self._period() if form.has_days else None,
            without=frozenset(parts) if form is Form.CSV else frozenset(),
            paper=str(self.paper.value()),
            quiet=self.quiet.isChecked(),
            zoned=bool(self.zoned.value()),
        )

    def _form(self) -> Form:
        return Form(str(self.form.value()))  # Qt hands a StrEnum back as a plain text

    def _period(self) -> Period | None:
        kind = self.days.value()
        if kind == SHOWN:
            return self._session.period
        return Period(_day(self.first), _day(self.last)) if kind == OWN else None

    def _is_upside_down(self) -> bool:
        return self.days.value() == OWN and _day(self.first) > _day(self.last)

    def _on_changed(self, *_: object) -> None:
        self._fit()
        self.changed.emit()

    def _on_form(self, *_: object) -> None:
        # A sheet speaks of some weeks, a table of all there is, until somebody says otherwise.
        if not self._days_said:
            self.days.choose(ALL if self._form() is Form.CSV else SHOWN)
        self._on_changed()

    def _on_days(self, *_: object) -> None:
        self._days_said = True
        self._on_changed()

    def _on_person(self, *_: object) -> None:
        self._name_clocks()
        self._on_changed()

    def _name_clocks(self) -> None:
        person = self.person.value()
        zone = person.zone if isinstance(person, Person) else ""
        at = max(0, self.zoned.currentIndex())
        self.zoned.clear()
        self.zoned.addItem(tr("The clocks of wherever the telephone is"), False)
        self.zoned.addItem(tr("The clocks of {zone}").format(zone=zone), True)
        self.zoned.setCurrentIndex(at)

    def _fit(self) -> None:
        """Show what the form has a use for."""
        form = self._form()
        self.says.setText(form_says(form))
        self._whose.setVisible(not form.is_whole)
        self._when.setVisible(form.has_days)
        self._own.setVisible(form.has_days and self.days.value() == OWN)
        self._parts.setVisible(form is Form.CSV)
        self._paper.setVisible(form is Form.PDF)
        for one in (self.quiet, self._clocks):
            one.setVisible(form is Form.ICS)
        if form.has_days and self._is_upside_down():
            said = tr("The first day comes after the last one. Change one of the two.")
            self.upside_down.show_error(said)
        else:
            self.upside_down.clear_error()

    def _connect(self) -> None:
        for choice in (self.paper, self.zoned):
            choice.activated.connect(self._on_changed)
        self.form.activated.connect(self._on_form)
        self.days.activated.connect(self._on_days)
        self.person.activated.connect(self._on_person)
        for field in (self.first, self.last):
            field.dateChanged.connect(self._on_changed)
        for box in (*self.parts.values(), self.quiet):
            box.toggled.connect(self._on_changed)

    def _lay_out(self) -> None:
        begin, end = Label(tr("Fr&om"), ink="ink2"), Label(tr("&to"), ink="ink2")
        for label, field in ((begin, self.first), (end, self.last)):
            label.setBuddy(field)
        self._whose = Field(tr("Whos&e"), self.person, self)
        self._when = Field(tr("&Days"), self.days, self)
        self._own = FlowRow([begin, self.first, end, self.last], self)
        self._paper = Field(tr("&Paper"), self.paper, self)
        self._clocks = Field(tr("By which c&locks"), self.zoned, self)
        self._parts = QWidget(self)
        parts = QVBoxLayout(self._parts)
        parts.setContentsMargins(0, 0, 0, 0)
        parts.setSpacing(px(2))
        parts.addWidget(Label(tr("With each reading"), self._parts, ink="ink2"))
        parts.addWidget(FlowRow(list(self.parts.values()), self._parts, gap=10))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(10))
        column.addWidget(Field(tr("&What"), self.form, self))
        for part in (
            self.says,
            self._whose,
            self._when,
            self._own,
            self.upside_down,
            self._parts,
            self._paper,
            self._clocks,
            self.quiet,
        ):
            column.addWidget(part)
        first = self.form
        for stop in (self.person, self.days, self.first, self.last, *self.parts.values(),
                     self.paper, self.zoned, self.quiet):  # fmt: skip
            QWidget.setTabOrder(first, stop)
            first = stop  # type: ignore[assignment]


def _qdate(day: date) -> QDate:
    return QDate(day.year, day.month, day.day)


def _day(field: DateField) -> date:
    shown = field.date()
    return date(shown.year(), shown.month(), shown.day())
