"""One test of a plan as a form: mark, time, days, until when."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QDate, QTime, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.marks import MARKS, Mark
from app.domain.person import Person
from app.domain.plan_files import MEAL_BEFORE
from app.domain.plan_rows import AS_IT_IS, EVERY_DAY, EVERY_N, ON_WEEKDAYS, RuleRow
from app.domain.plans import AFTER_MEAL_MINUTES, ANY_DAY, FREE_DAYS, SCHOOL_DAYS
from app.ui.controls import (
    CheckBox,
    Choice,
    DateField,
    FlatButton,
    FlowRow,
    Hairline,
    Label,
    TimeField,
)
from app.ui.controls.drawing import px
from app.ui.plan.words import many, repeats_text, tr, weekday_name
from app.ui.reading_words import mark_name
from app.ui.words import date_format

_STEPS = (2, 3, 4, 5, 6, 7, 10, 14, 21, 28)
_MIDDAY = 12 * 60


class RuleForm(QWidget):
    """Signals: changed(), removed() this test is to go."""

    changed = Signal()
    removed = Signal()

    def __init__(
        self, row: RuleRow, person: Person, today: date, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._row = row
        marks = [mark for mark in MARKS if mark is not Mark.NONE]
        self.mark = Choice(
            [(tr("any time"), None), *((mark_name(mark), mark) for mark in marks)],
            self,
            name=tr("Which test"),
        )
        clock = "HH:mm" if person.clock == 24 else "h:mm AP"
        hour, minute = divmod(row.minute, 60)
        self.time = TimeField(QTime(hour, minute), self, order=clock, name=tr("Time of day"))
        self.follows = CheckBox(tr("follows its usual time"), self, checked=row.follows is not None)
        self._ways = self._all_ways(person, today)
        self.repeats = Choice(self._ways, self, name=tr("On which days"))
        self.weekdays = [
            CheckBox(weekday_name(day), self, checked=day in row.weekdays) for day in range(7)
        ]
        for day, box in enumerate(self.weekdays):
            box.setAccessibleName(weekday_name(day, full=True))
        self.school = Choice(
            [
                (tr("all days"), ANY_DAY),
                (tr("school days only"), SCHOOL_DAYS),
                (tr("days without school only"), FREE_DAYS),
            ],
            self,
            name=tr("School days"),
        )
        self.ends = CheckBox(tr("until"), self, checked=row.until is not None)
        until = row.until or today
        self.until = DateField(
            QDate(until.year, until.month, until.day),
            self,
            order=date_format(person.date_order),
            name=tr("Last day of this test"),
        )
        self.remove = FlatButton(tr("Leave it out"), size="bar")
        self._first = FlowRow([self.mark, Label(tr("at")), self.time, self.follows], self, gap=8)
        self._second = FlowRow(
            [self.repeats, self.school, self.ends, self.until, self.remove], self, gap=8
        )
        self._days = FlowRow(self.weekdays, self, gap=8)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(6))
        for part in (self._first, self._second, self._days, Hairline(self)):
            column.addWidget(part)
        self.mark.choose(row.mark)
        self.repeat(row.repeats, row.every)
        self.school.choose(row.school)
        self._show_parts()
        self._connect()

    def row(self) -> RuleRow:
        """What the form says now."""
        mark = self._mark()
        repeats, every = self._way()
        time = self.time.time()
        follows, offset = self._following(mark)
        last = self.until.date()
        return RuleRow(
            mark=mark,
            minute=time.hour() * 60 + time.minute(),
            repeats=repeats,
            every=every,
            weekdays=self._chosen_days() if repeats == ON_WEEKDAYS else (),
            school=str(self.school.value()),
            until=date(last.year(), last.month(), last.day()) if self.ends.isChecked() else None,
            follows=follows,
            offset=offset,
            text=self._row.text if mark is self._row.mark else None,
            kept=self._row.kept,
        )

    def repeat(self, repeats: str, every: int = 1) -> None:
        """Choose how it repeats."""
        self.repeats.setCurrentIndex([way for _, way in self._ways].index((repeats, every)))

    def take_focus(self) -> None:
        """Go to the mark."""
        self.mark.setFocus()

    def _all_ways(self, person: Person, today: date) -> list[tuple[str, tuple[str, int]]]:
        row = self._row
        found: list[tuple[str, tuple[str, int]]] = [
            (tr("every day"), (EVERY_DAY, 1)),
            (tr("on these days"), (ON_WEEKDAYS, 1)),
        ]
        steps = sorted({*_STEPS, *((row.every,) if row.repeats == EVERY_N else ())})
        found += [(many(step, "every day", "every {n} days"), (EVERY_N, step)) for step in steps]
        if row.repeats == AS_IT_IS and row.kept is not None:
            found.append((repeats_text(row.kept, today, person), (AS_IT_IS, 1)))
        return found

    def _following(self, mark: Mark | None) -> tuple[Mark | None, int]:
        """The mark whose usual time it follows, and by how many minutes."""
        if not self.follows.isChecked():
            return None, 0
        if mark is self._row.mark and self._row.follows is not None:
            return self._row.follows, self._row.offset
        meal = MEAL_BEFORE.get(mark) if mark else None
        return (meal, AFTER_MEAL_MINUTES) if meal else (mark, 0)

    def _way(self) -> tuple[str, int]:
        """How it repeats, and every how many days."""
        return self._ways[max(0, self.repeats.currentIndex())][1]

    def _mark(self) -> Mark | None:
        """The chosen mark: Qt gives back its code alone."""
        code = self.mark.value()
        return None if code is None else Mark(str(code))

    def _chosen_days(self) -> tuple[int, ...]:
        return tuple(day for day, box in enumerate(self.weekdays) if box.isChecked())

    def _connect(self) -> None:
        for choice in (self.mark, self.repeats, self.school):
            choice.currentIndexChanged.connect(self._on_changed)
        self.time.timeChanged.connect(self._on_changed)
        self.until.dateChanged.connect(self._on_changed)
        for box in (self.follows, self.ends, *self.weekdays):
            box.toggled.connect(self._on_changed)
        self.remove.clicked.connect(self.removed)

    def _on_changed(self) -> None:
        self._show_parts()
        self.changed.emit()

    def _show_parts(self) -> None:
        repeats, _ = self._way()
        self._days.setVisible(repeats == ON_WEEKDAYS)
        for part in (self.ends, self.school):
            part.setVisible(repeats != AS_IT_IS)
        self.until.setVisible(repeats != AS_IT_IS and self.ends.isChecked())
        self.follows.setVisible(self.mark.value() is not None)
        self.remove.setAccessibleName(tr("Leave out: {test}").format(test=self.mark.currentText()))
        self._first.settle()
        self._second.settle()


def fresh_row(mark: Mark | None = None, minute: int = _MIDDAY) -> RuleRow:
    """The row of a test that is added: at midday until somebody says another time."""
    return RuleRow(mark=mark, minute=minute)
