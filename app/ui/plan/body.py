"""What stands on the Plan page: head, grid, the test spoken of, the day, the plan, its gaps."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QPoint, Signal
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from app.look.icons import Icon
from app.look.theme import follow_theme
from app.look.type import Role, font
from app.review.schedule import Planned
from app.statistics.schedule.walls import wall_at, zone_at
from app.ui.controls import FlowRow, Hairline, PageHead, SectionTitle, TextColumn
from app.ui.controls.drawing import px
from app.ui.due.rows import RowList
from app.ui.plan.action_button import ActionButton, MoreButton
from app.ui.plan.actions import PlanActions
from app.ui.plan.empty import EmptyPlan
from app.ui.plan.first_question import FirstQuestion
from app.ui.plan.grid import PlanGridTable
from app.ui.plan.halves import Half, Space, say
from app.ui.plan.legend import Legend
from app.ui.plan.planned_rows import planned_rows, test_rows
from app.ui.plan.reading import PlanRead
from app.ui.plan.reminder_box import ReminderBox
from app.ui.plan.sentences import finding, gap_rows, kept_lines, slip_rows
from app.ui.plan.test_bar import TestBar
from app.ui.plan.words import hour_text, planned_line, tr
from app.ui.session import Session
from app.ui.words import full_date_words, joined

_SIDE_BY_SIDE_PX = 700
_COUNT_PX = 84


class PlanBody(QWidget):
    """All of the page inside its scroll area.

    Signals: test_looked_at(object), test_opened(object), both a Planned or None;
    menu_wanted(QPoint) for what can be done with the test spoken of.
    """

    test_looked_at = Signal(object)
    test_opened = Signal(object)
    menu_wanted = Signal(QPoint)

    def __init__(self, actions: PlanActions, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("scrolled")
        self._read: PlanRead | None = None
        self._day: date | None = None
        self._room = 0
        self._session = session
        self.reminders = ReminderBox(session)
        self.question = FirstQuestion()
        self.question.answered.connect(self.reminders.choose_all)
        self._build(actions)
        self.grid.day_looked_at.connect(self._on_day)
        self.grid.test_looked_at.connect(self._on_looked_at)
        self.grid.test_opened.connect(self.test_opened)
        self.grid.menu_wanted.connect(self.menu_wanted)
        self.tests.looked_at.connect(lambda row: self._on_looked_at(row.about))
        self.tests.opened.connect(lambda row: self.test_opened.emit(row.about))
        self.tests.menu_wanted.connect(lambda _row, at: self.menu_wanted.emit(at))
        self.planned.opened.connect(lambda _row: actions.change.trigger())
        follow_theme(self._restyle)

    def has_room_for(self, days: int) -> bool:
        """Whether the grid shows so many days and still names its slots."""
        metrics = QFontMetrics(font(Role.BODY))
        label = metrics.horizontalAdvance(tr("before evening meal")) + px(16)
        wanted = label + days * px(26) + px(_COUNT_PX)
        return self._room >= wanted

    def show_nothing(self) -> None:
        """Show neither plan nor emptiness, until it is known which."""
        self._read = self._day = None
        for part in (self._whole, self.empty, self.question, self._last_rule, self.reminders):
            part.setVisible(False)
        self.head.set_subtitle("")
        self.bar.speak_of(None, "")

    def forget_day(self) -> None:
        """Speak of no chosen day any more."""
        self._day = None

    def show_plan(self, read: PlanRead) -> None:
        """Show what was read."""
        self._read = read
        has_plan = bool(read.plans)
        self.empty.setVisible(not has_plan)
        self._whole.setVisible(has_plan)
        for tool in (self.calendar, self.change):  # sick days and journeys need no plan
            tool.setVisible(has_plan)
        writable = self._session.diary.writable
        self.question.show_for(read, writable=writable)
        self.reminders.show_choices(read.rules, read.wishes, read.record.person)
        for part in (self._last_rule, self.reminders):
            part.setVisible(True)
        if not has_plan:
            return
        days = [*self._days(read)]
        if self._day not in days:
            self._day = read.grid.today if read.grid.today in days else days[-1]
        self.grid.show_plan(read, finding(read))
        self._legend.show_signs(self.grid.signs())
        self._show_day()
        self.planned.show_rows(planned_rows(read))
        self._no_plan.setVisible(not read.grid.in_force)
        say(self._kept, [*kept_lines(read.grid.kept)])
        for rows, shown, title in (
            (slip_rows(read.grid.kept), self._slips, self._slips_title),
            (gap_rows(read.grid.gaps), self._gaps, self._gaps_title),
        ):
            shown.show_rows(rows)
            shown.setVisible(bool(rows))
            title.setVisible(bool(rows))
        self._keep_speaking()

    def fit(self, width: int) -> None:
        """Put the lower half side by side where there is room."""
        self._room = width - 2 * px(24)
        wide = self._room >= px(_SIDE_BY_SIDE_PX)
        self._lower.setDirection(
            QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        )
        self._lower.setSpacing(px(32) if wide else px(16))
        self.reminders.fit(self._room)

    def _build(self, actions: PlanActions) -> None:
        self.earlier = ActionButton(actions.earlier, icon=Icon.LEFT)
        self.later = ActionButton(actions.later, icon=Icon.RIGHT)
        self.to_today = ActionButton(actions.today, text=tr("Today"))
        self.more = MoreButton(tr("More"), actions.rarer)
        self.calendar = ActionButton(actions.calendar)
        self.change = ActionButton(actions.change, main=True)
        self.tools = FlowRow([self.more, self.calendar, self.change], gap=4)
        self.head = PageHead(tr("Plan"), parent=self, tools=[self.tools])
        self._tools = QWidget(self)
        self.empty = EmptyPlan(self)
        self.empty.choose.clicked.connect(actions.choose.trigger)
        self.days_title = SectionTitle("", self)
        steps = QBoxLayout(QBoxLayout.Direction.LeftToRight, self._tools)
        steps.setContentsMargins(0, 0, 0, 0)
        steps.setSpacing(4)
        for step in (self.earlier, self.to_today, self.later):
            steps.addWidget(step)
        self.grid = PlanGridTable(self)
        self._legend = Legend(self)
        self.bar = TestBar(self)
        self._day_title = SectionTitle("", self)
        self.tests = RowList(self, name=tr("Planned tests of the day"), beside=True)
        self._none = TextColumn(tr("Nothing is planned on this day."), self, ink="ink2")
        self._hours = TextColumn("", self, role=Role.SMALL, ink="ink2")
        self._planned_title = SectionTitle(tr("What is planned"), self)
        self.planned = RowList(self, name=tr("What is planned"), beside=True)
        self._no_plan = TextColumn(tr("No plan is in force today."), self, ink="ink2")
        self._kept = TextColumn("", self, role=Role.SMALL, ink="ink2")
        self._slips_title = SectionTitle(tr("Where it slips"), self)
        self._slips = RowList(self, name=tr("Where it slips"), beside=True, opens=False)
        self._gaps_title = SectionTitle(tr("What this plan can't see"), self)
        self._gaps = RowList(self, name=tr("What this plan can't see"), beside=True, opens=False)
        self._lay_out()

    def _lay_out(self) -> None:
        self.left, self.right = Half(self), Half(self)
        for part in (
            self._day_title,
            self.tests,
            self._none,
            self._hours,
            self._kept,
            Space(self),
            self._slips_title,
            self._slips,
        ):
            self.left.column.addWidget(part)
        for part in (
            self._planned_title,
            self.planned,
            self._no_plan,
            Space(self),
            self._gaps_title,
            self._gaps,
        ):
            self.right.column.addWidget(part)
        self.left.column.addStretch(1)
        self.right.column.addStretch(1)
        self._lower = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._lower.addWidget(self.left, 1)
        self._lower.addWidget(self.right, 1)
        self._lower.addStretch(0)
        self._whole = QWidget(self)
        self._whole_column = QVBoxLayout(self._whole)
        self._whole_column.setContentsMargins(0, 0, 0, 0)
        for upper in (
            FlowRow([self.days_title, self._tools], self, last_far=True),
            self.grid,
            self._legend,
            self.bar,
            Hairline(self),
        ):
            self._whole_column.addWidget(upper)
        self._whole_column.addLayout(self._lower)
        self._inside = QVBoxLayout(self)
        self._last_rule = Hairline(self)
        for whole in (
            self.head,
            self.question,
            self.empty,
            self._whole,
            self._last_rule,
            self.reminders,
        ):
            self._inside.addWidget(whole)
        self._inside.addStretch(1)
        self.show_nothing()

    def _days(self, read: PlanRead) -> list[date]:
        first = read.grid.period.first.toordinal()
        return [date.fromordinal(first + each) for each in range(read.grid.period.days)]

    def _show_day(self) -> None:
        read, day = self._read, self._day
        if read is None or day is None:
            return
        person = read.record.person
        tests = read.tests_of(self._days(read).index(day))
        is_today = day == read.grid.today
        title = full_date_words(day, person)
        self._day_title.set_text(joined((tr("Today"), title)) if is_today else title)
        self.grid.look_at(day)
        self.tests.show_rows(test_rows(tests, read))
        self.tests.setVisible(bool(tests))
        self._none.setVisible(not tests)
        said = [
            hour_text(
                each, wall_at(each.instant, zone_at(each.instant, read.ground.places)), person
            )
            for each in tests
        ]
        say(self._hours, [each for each in said if each])

    def _on_day(self, day: date) -> None:
        if day != self._day:
            self._day = day
            self._show_day()

    def _on_looked_at(self, planned: Planned | None) -> None:
        self._speak_of(planned)
        self.test_looked_at.emit(planned)

    def _speak_of(self, planned: Planned | None) -> None:
        if self._read is None:
            return
        if planned is None:
            index = self.grid.currentIndex()
            words = self.grid.cells.cell(index).words if index.isValid() else ""
            self.bar.speak_of(None, words)
            return
        self.tests.look_at(planned.key)
        grid, person = self._read.grid, self._read.record.person
        self.bar.speak_of(planned, planned_line(planned, grid.today, person))

    def _keep_speaking(self) -> None:
        """After something changed, speak of the same test as before, in its new state."""
        before = self.bar.planned
        if before is None or self._read is None:
            self._speak_of(None)
            return
        tests = [each for row in self._read.grid.rows for cell in row.cells for each in cell]
        self._speak_of(next((each for each in tests if each.key == before.key), None))

    def _restyle(self) -> None:
        self._inside.setContentsMargins(px(24), px(16), px(24), px(16))
        self._inside.setSpacing(px(12))
        self._whole_column.setSpacing(px(8))
        for half in (self.left, self.right):
            half.column.setSpacing(px(6))
