"""The Year page: months by slot up to a chosen month, and before and after a change."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial

from PySide6.QtCore import QEvent, QRect, Qt
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from app.domain.errors import Refused
from app.domain.written import ChangeMark
from app.look.theme import follow_theme
from app.review.before_after import USUAL_DAYS, BeforeAfter
from app.review.year import MONTHS, YearMark, YearView, year_view
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled
from app.ui.figures.helped import explain, help_key_of, is_help
from app.ui.job import Job
from app.ui.page import Page
from app.ui.session import Session
from app.ui.year.body import YearBody
from app.ui.year.empty import EmptyYear
from app.ui.year.head import YearHead
from app.ui.year.line_below import LineBelow
from app.ui.year.months import month_of, months_offered, stepped
from app.ui.year.sides import Sides, ask
from app.ui.year.sides_words import change_title
from app.ui.year.words import subtitle, tr


class YearPage(Page):
    """Up to twelve months that end with that of the period, until another one is chosen."""

    key = "year"
    title = "Year"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._ending: date | None = None  # None follows the period of the session
        self._uid: object = None
        self._found: YearView | None = None
        self._change: ChangeMark | None = None
        self._sides_found: BeforeAfter | None = None
        self._days = USUAL_DAYS
        self._job, self._sides_job = Job(self), Job(self)
        self.head = YearHead()
        self.body = YearBody()
        self.empty = EmptyYear()
        self.sides = Sides()
        self.line = LineBelow()
        self._lay_out()
        self._job.answered.connect(self._on_found)
        self._job.failed.connect(session.tell_trouble)
        self._sides_job.answered.connect(self._on_sides)
        self._sides_job.failed.connect(self._on_no_sides)
        session.period_changed.connect(self._on_period)
        self.head.stepped.connect(self._step)
        self.head.ending_chosen.connect(self._show_ending)
        self.body.stepped.connect(lambda step: self._step(step * MONTHS))
        self.body.change_chosen.connect(self._on_change)
        self.body.looked_at.connect(self._keep_in_sight)
        self.body.said.connect(self.line.say)
        self.empty.line_asked.connect(self.go_to_line)
        self.sides.left.connect(self.show_year)
        self.sides.days_chosen.connect(self._on_days)
        for part in (self.body, self.sides):
            part.help_asked.connect(self._on_help)
        self._actions = self._make_actions()
        follow_theme(self._restyle)

    def menu_actions(self) -> Sequence[tuple[str, QAction]]:
        return tuple(("go", action) for action in self._actions)

    def take_focus(self) -> None:
        if self._stack.currentWidget() is self._sides_area:
            self.sides.back.setFocus(Qt.FocusReason.ShortcutFocusReason)
        else:
            self.head.ending.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def refresh(self) -> None:
        session = self.session
        if session.person.uid != self._uid:  # never somebody else's year, not for a moment
            self._uid = session.person.uid
            self._ending = None
            self.body.hide()
            self.empty.hide()
            self.head.set_subtitle("")
            self.show_year()
        self._ask()
        if self._change is not None:
            self._ask_sides()

    @property
    def found(self) -> YearView | None:
        """The months that are shown."""
        return self._found

    @property
    def sides_found(self) -> BeforeAfter | None:
        """The two sides that are shown, while they are."""
        return self._sides_found

    def show_year(self) -> None:
        """Leave before and after."""
        here = self.sides.isAncestorOf(self.focusWidget()) if self.focusWidget() else False
        self._change = self._sides_found = None
        self._stack.setCurrentWidget(self._year_area)
        self.line.setVisible(self.body.isVisibleTo(self))
        if here:
            (self.body.rail if self.body.rail.isVisible() else self.body.grid).setFocus()

    def event(self, event: QEvent) -> bool:
        if event.type() is QEvent.Type.ShortcutOverride and is_help(event):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        area = self._stack.currentWidget()
        step = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}.get(Qt.Key(event.key()), 0)
        if is_help(event):
            self._on_help(help_key_of(QApplication.focusWidget()))
        elif step and isinstance(area, QScrollArea):
            bar = area.verticalScrollBar()
            bar.setValue(bar.value() + step * (bar.pageStep() - px(40)))
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _lay_out(self) -> None:
        self._stack = QStackedWidget(self)
        self._inside: list[QVBoxLayout] = []
        self._year_area = self._scrolled(self.head, self.empty, self.body)
        self._sides_area = self._scrolled(self.sides)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addWidget(self._stack, 1)
        outer.addWidget(self.line)
        for part in (self.body, self.empty, self.line):
            part.hide()

    def _scrolled(self, *parts: QWidget) -> QScrollArea:
        content = QWidget()
        content.setObjectName("scrolled")
        column = QVBoxLayout(content)
        for part in parts:
            column.addWidget(part)
        column.addStretch(1)
        self._inside.append(column)
        area = scrolled(content, self._stack)
        self._stack.addWidget(area)
        return area

    def _make_actions(self) -> list[QAction]:
        made = []
        for text, keys, step in (
            (tr("Month before"), "Alt+Up", -1),
            (tr("Month after"), "Alt+Down", 1),
            (tr("Twelve months before"), "Alt+PgUp", -MONTHS),
            (tr("Twelve months after"), "Alt+PgDown", MONTHS),
        ):
            action = QAction(text, self)
            action.setShortcut(QKeySequence(keys))
            action.setStatusTip(text)
            action.triggered.connect(partial(self._on_action, step))
            made.append(action)
        return made

    def _months(self) -> tuple[date, ...]:
        session = self.session
        return months_offered(session.all_days(), session.period.last)

    def _last(self) -> date:
        """The first day of the last month."""
        return self._ending or month_of(self.session.period.last)

    def _ask(self) -> None:
        session = self.session
        if not session.has_person:
            return
        self.head.show_months(self._months(), self._last())
        self._job.start(
            partial(year_view, session.diary, session.record, self._last(), now=session.now())
        )

    def _ask_sides(self) -> None:
        session, change = self.session, self._change
        if change is not None:
            self._sides_job.start(
                partial(ask, session.diary, session.record, change, self._days, session.now())
            )

    def _on_found(self, found: YearView) -> None:
        if found.person.uid != self.session.person.uid:
            return
        self._found = found
        person, is_empty = self.session.person, self.session.record.last_day is None
        self.head.set_subtitle(subtitle(found))
        self.empty.setVisible(is_empty)
        self.body.setVisible(not is_empty)
        self.line.setVisible(not is_empty and self._change is None)
        self.body.show_year(found, person)
        self._fit()

    def _on_change(self, mark: YearMark) -> None:
        if mark.change is None:
            return
        self._change, self._sides_found = mark.change, None
        self.sides.show_change(
            mark.change, change_title(mark.change.what, mark.change.day, self.session.person)
        )
        self._stack.setCurrentWidget(self._sides_area)
        self.line.hide()
        self._sides_area.verticalScrollBar().setValue(0)
        self.sides.back.setFocus(Qt.FocusReason.OtherFocusReason)
        self._ask_sides()

    def _on_sides(self, found: BeforeAfter) -> None:
        if self._change is None or found.change.id != self._change.id:
            return
        self._sides_found = found
        self.sides.show_sides(found)

    def _on_no_sides(self, trouble: BaseException) -> None:
        if isinstance(trouble, Refused):
            self.sides.show_trouble(str(trouble))
        else:
            self.session.tell_trouble(trouble)

    def _on_days(self, days: int) -> None:
        self._days = days
        self._ask_sides()

    def _on_help(self, key: str) -> None:
        explain(self, key or ("year" if self._change is None else "difference"))

    def _on_period(self) -> None:
        self._ending = None
        self.mark_stale()

    def _on_action(self, step: int, _checked: bool = False) -> None:
        self.show_year()
        self._step(step)

    def _step(self, months: int) -> None:
        self._show_ending(stepped(self._last(), months, self._months()))

    def _show_ending(self, month: date) -> None:
        if month != self._last():
            self._ending = month
            self._ask()

    def _keep_in_sight(self, widget: QWidget, area: QRect) -> None:
        content = self._year_area.widget()
        if content is not None:
            centre = widget.mapTo(content, area.center())
            self._year_area.ensureVisible(
                centre.x(), centre.y(), area.width() // 2, area.height() // 2 + px(24)
            )

    def _fit(self) -> None:
        """Let the rows grow into the window, where it is higher than the least they need."""
        room = self._year_area.viewport().height() - self.head.height() - px(40)
        self.body.set_room(room)

    def _restyle(self) -> None:
        for column in self._inside:
            column.setContentsMargins(px(24), px(16), px(24), px(16))
            column.setSpacing(px(8))
