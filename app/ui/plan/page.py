"""The Plan page: the weeks as a grid, a day by time, what is planned, and what it can't see."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from functools import partial
from typing import ClassVar

from PySide6.QtCore import QPoint, Qt, QTimer
from PySide6.QtGui import QAction, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QMenu, QWidget

from app.domain.clock import Period
from app.domain.errors import DiaryError
from app.review.schedule import Planned
from app.ui.controls.scrolled import scrolled_whole
from app.ui.job import Job
from app.ui.page import Page
from app.ui.plan.actions import PlanActions
from app.ui.plan.acts import Act, acts_for, do
from app.ui.plan.body import PlanBody
from app.ui.plan.reading import PlanRead, read_plan_page
from app.ui.plan.sentences import subtitle
from app.ui.plan.test_bar import act_words
from app.ui.said import Said
from app.ui.session import Session
from app.ui.words import period_words

DAYS, FEW_DAYS, STEP = 15, 7, 7
_TICK_MS = 20_000  # how soon a state follows the clock
_LATEST = 366  # days ahead that can be looked at


class PlanPage(Page):
    """What is planned and what became of it; the days shown end today unless moved."""

    key: ClassVar[str] = "plan"
    title: ClassVar[str] = "Plan"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._ending: date | None = None
        self._uid: object = None
        self._read: PlanRead | None = None
        self._minute = -1
        self.job = Job(self)
        self.actions_of_plan = PlanActions(self)
        self.body = PlanBody(self.actions_of_plan, session, self)
        self._scroll = scrolled_whole(self.body, self)
        self._tick = QTimer(self)
        self._tick.setInterval(_TICK_MS)
        self._tick.start()
        self._connect()

    @property
    def read(self) -> PlanRead | None:
        """What is shown, once it was read."""
        return self._read

    def menu_actions(self) -> Sequence[tuple[str, QAction]]:
        return self.actions_of_plan.with_menus()

    def take_focus(self) -> None:
        if self._read is not None and self._read.plans:
            self.body.grid.setFocus()
        else:
            self.body.empty.choose.setFocus()

    def refresh(self) -> None:
        """Read the plan anew, off the GUI thread."""
        session = self.session
        if session.person.uid != self._uid:  # never somebody else's plan, not for a moment
            self._uid, self._ending, self._read = session.person.uid, None, None
            self.body.show_nothing()
        self._minute = int(session.now().timestamp()) // 60
        self.body.fit(self._scroll.viewport().width())
        self.job.start(
            partial(read_plan_page, session.diary, session.record, self._period(), session.now())
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.body.fit(self._scroll.viewport().width())
        if self._read is not None and self._days() != self._read.grid.period.days:
            self.mark_stale()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        bar = self._scroll.verticalScrollBar()
        step = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}.get(Qt.Key(event.key()), 0)
        if step:
            bar.setValue(bar.value() + step * bar.pageStep())
        else:
            super().keyPressEvent(event)

    def _connect(self) -> None:
        session, body, actions = self.session, self.body, self.actions_of_plan
        session.said.connect(self._on_said)
        session.day_chosen.connect(self.mark_stale)
        self.job.answered.connect(self._show)
        self.job.failed.connect(session.tell_trouble)
        self._tick.timeout.connect(self._on_tick)
        actions.change.triggered.connect(self._on_change)
        actions.choose.triggered.connect(self._on_choose)
        actions.pause.triggered.connect(self._on_pause)
        actions.calendar.triggered.connect(self._on_calendar)
        actions.history.triggered.connect(self._on_history)
        actions.sick.triggered.connect(self._on_sick)
        actions.journeys.triggered.connect(self._on_journeys)
        actions.earlier.triggered.connect(partial(self._step, -STEP))
        actions.later.triggered.connect(partial(self._step, STEP))
        actions.today.triggered.connect(partial(self._show_days_to, None))
        for act, action in actions.acts.items():
            action.triggered.connect(partial(self._on_act, act))
        body.reminders.changed.connect(self.mark_stale)
        body.bar.wanted.connect(lambda act: self._on_act(Act(act)))
        body.bar.moved.connect(self._on_moved)
        body.test_opened.connect(self._on_opened)
        body.test_looked_at.connect(self._on_looked_at)
        body.menu_wanted.connect(self._on_menu)

    # What is shown.

    def _days(self) -> int:
        return DAYS if self.body.has_room_for(DAYS) else FEW_DAYS

    def _period(self) -> Period:
        last = self._ending or self.session.day
        return Period(last - timedelta(days=self._days() - 1), last)

    def _show(self, read: PlanRead) -> None:
        if read.record.person.uid != self.session.person.uid:
            return
        self._read = read
        has_plan = bool(read.plans)
        self.body.show_plan(read)
        self.body.head.set_subtitle(subtitle(read) if has_plan else "")
        order = read.record.person.date_order
        self.body.days_title.set_text(period_words(read.grid.period, order))
        self.actions_of_plan.show_state(
            has_plan=has_plan,
            in_force=bool(read.grid.in_force),
            is_paused=read.is_paused,
            writable=self.session.diary.writable,
        )
        self.actions_of_plan.today.setEnabled(has_plan and self._ending is not None)
        self._on_looked_at(self.body.bar.planned)
        self.body.fit(self._scroll.viewport().width())

    def _on_said(self, _said: object) -> None:
        """Something was done somewhere: it may have been about the plan."""
        self.mark_stale()

    def _on_tick(self) -> None:
        if int(self.session.now().timestamp()) // 60 != self._minute and self.isVisible():
            self.mark_stale()

    def _step(self, by: int, _checked: bool = False) -> None:
        if self.session.has_person:
            last = (self._ending or self.session.day) + timedelta(days=by)
            latest = self.session.today() + timedelta(days=_LATEST)
            self._show_days_to(min(last, latest))

    def _show_days_to(self, last: date | None, _checked: bool = False) -> None:
        self._ending = None if last == self.session.day else last
        self.body.forget_day()
        self.mark_stale()

    # What is done with one test.

    def _on_looked_at(self, planned: Planned | None) -> None:
        self.actions_of_plan.show_acts(acts_for(planned) if self._may_write(planned) else ())

    def _may_write(self, planned: Planned | None) -> bool:
        return planned is not None and self.session.diary.writable

    def _on_opened(self, planned: Planned | None) -> None:
        acts = acts_for(planned)
        if acts and acts[0] in (Act.SHOW, Act.WRITE):
            self._on_act(acts[0])

    def _on_menu(self, at: QPoint) -> None:
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for act in acts_for(self.body.bar.planned):
            menu.addAction(act_words(act)).triggered.connect(partial(self._on_act, act))
        if not menu.isEmpty():
            menu.popup(at)

    def _on_act(self, act: Act, _checked: bool = False) -> None:
        planned = self.body.bar.planned
        if planned is None or act not in acts_for(planned):
            return
        if act is Act.SHOW and planned.reading_id is not None:
            self.session.reading_chosen.emit(planned.reading_id)
        elif act is Act.WRITE:
            self._write_down(planned)
        elif act is Act.MOVE:
            self.body.bar.ask_when(self.session.person)
        else:
            self._do(planned, act)

    def _on_moved(self, to: datetime) -> None:
        if self.body.bar.planned is not None:
            self._do(self.body.bar.planned, Act.MOVE, to)

    def _do(self, planned: Planned, act: Act, to: datetime | None = None) -> None:
        session = self.session
        try:
            done = do(session.diary, session.person, planned, act, now=session.now(), to=to)
        except DiaryError as trouble:
            session.said.emit(Said(str(trouble), undo=False))
            return
        session.changed(Said(done.sentence))
        self.body.grid.setFocus()

    def _write_down(self, planned: Planned) -> None:
        """Put the mark of a test into the entry line, and the focus there."""
        dues = getattr(self.window(), "dues", None)
        if dues is not None:
            dues.write_wanted.emit(planned.mark, self.session.person)

    # What is done with the plan.

    def _on_change(self) -> None:
        from app.ui.plan.plan_dialog import PlanDialog

        read = self._read
        if read is None:
            return
        if not read.grid.in_force:
            self._on_choose()
            return
        # The one that goes on for ever, rather than a few days' profile beside it.
        open_ended = [plan for plan in read.grid.in_force if plan.to_day is None]
        changing = (open_ended or list(read.grid.in_force))[-1]
        PlanDialog(self.session, self.window(), changing=changing).open()

    def _on_choose(self) -> None:
        from app.ui.plan.plan_dialog import PlanDialog

        running = () if self._read is None else self._read.grid.in_force
        PlanDialog(self.session, self.window(), running=running).open()

    def _on_pause(self) -> None:
        from app.work.plan import pause_plan, resume_plan

        session, today = self.session, self.session.today()
        paused = self._read is not None and self._read.is_paused
        try:
            if paused:
                done = resume_plan(session.diary, session.person, today, now=session.now())
            else:
                done = pause_plan(session.diary, session.person, today, None, now=session.now())
        except DiaryError as trouble:
            session.said.emit(Said(str(trouble), undo=False))
            return
        session.changed(Said(done.sentence))

    def _on_calendar(self) -> None:
        from app.ui.plan.calendar_dialog import CalendarDialog

        CalendarDialog(self.session, self.window()).open()

    def _on_history(self) -> None:
        from app.ui.plan.history_dialog import HistoryDialog

        if self._read is not None:
            person, today = self.session.person, self._read.grid.today
            HistoryDialog(self._read.plans, person, today, self.window()).open()

    def _on_sick(self) -> None:
        from app.ui.plan.sick_dialog import SickDialog

        SickDialog(self.session, self.window()).open()

    def _on_journeys(self) -> None:
        from app.ui.plan.journey_dialog import JourneyDialog

        JourneyDialog(self.session, self.window()).open()
