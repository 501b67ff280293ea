"""The page of one day: its chart, its slots beside the days before, and what was written."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from functools import partial
from typing import ClassVar

from PySide6.QtCore import QTimer
from PySide6.QtGui import QAction, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QWidget

from app.domain.clock import moment_now
from app.domain.entry.records import Entry
from app.domain.errors import Damaged
from app.review.day import DayView, day_view
from app.review.day_pending import pending_of
from app.review.record import Record
from app.store.beside import NOTHING, Beside, beside_of
from app.store.diary import Diary
from app.ui.controls.scrolled import scrolled_whole
from app.ui.day.body import DayBody
from app.ui.day.words import tr
from app.ui.job import Job
from app.ui.page import Page
from app.ui.said import Said
from app.ui.session import Session

_TICK_MS = 20_000  # how soon the line of now follows the clock
_EARLIEST = date(1970, 1, 2)


class DayPage(Page):
    """One diary day; the day itself is the session's, so that other pages can ask for one."""

    key: ClassVar[str] = "day"
    title: ClassVar[str] = "Day"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._entry: Entry | None = None
        self._view: DayView | None = None
        self._read: tuple[Record, Beside] | None = None
        self._minute = -1
        self._body = DayBody()
        self._scroll = scrolled_whole(self._body, self)
        self._job = Job(self)
        self._job.answered.connect(self._show)
        self._job.failed.connect(self._on_failed)
        self._tick = QTimer(self)
        self._tick.setInterval(_TICK_MS)
        self._tick.timeout.connect(self._on_tick)
        self._tick.start()
        self._actions = self._make_actions()
        self._connect()

    @property
    def body(self) -> DayBody:
        """What stands on the page."""
        return self._body

    @property
    def view(self) -> DayView | None:
        """The day that is shown, once it was read."""
        return self._view

    def menu_actions(self) -> Sequence[tuple[str, QAction]]:
        return [("go", action) for action in self._actions]

    def take_focus(self) -> None:
        self._body.head.before.setFocus()

    def refresh(self) -> None:
        """Read the day anew, off the GUI thread."""
        record, now = self.session.record, self.session.now()
        self._minute = moment_now(now, record.person.zone).minute
        self._job.start(
            partial(_read, self.session.diary, record, self._read, self.session.day, now)
        )

    def show_pending(self, entry: object) -> None:
        """Show what is being typed in the Now column, or nothing."""
        self._entry = entry if isinstance(entry, Entry) else None
        self._place_pending()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._body.fit(self._scroll.viewport().size())

    def _connect(self) -> None:
        body = self._body
        self.session.day_chosen.connect(self.mark_stale)
        for stepping in (body.head.stepped, body.chart_stepped):
            stepping.connect(self._step)
        body.head.today_asked.connect(self._to_today)
        body.chosen.connect(self.session.reading_chosen)
        body.written.table.looked_at.connect(self._keep_row_in_sight)
        body.day_asked.connect(self.session.show_day)
        body.line_asked.connect(self.go_to_line)
        body.targets_asked.connect(self._to_the_targets)

    def _make_actions(self) -> list[QAction]:
        made = []
        for text, keys, does in (
            (tr("Day before"), "Alt+Left", partial(self._step, -1)),
            (tr("Day after"), "Alt+Right", partial(self._step, 1)),
            (tr("Today"), "Alt+Home", self._to_today),
        ):
            action = QAction(text, self)
            action.setShortcut(QKeySequence(keys))
            action.setStatusTip(text)
            action.triggered.connect(lambda _checked=False, does=does: does())
            made.append(action)
        return made

    def _show(self, read: tuple[Record, Beside, DayView]) -> None:
        record, beside, view = read
        self._read = (record, beside)
        if record.person.uid != self.session.person.uid:
            return
        self._view = view
        self._actions[1].setEnabled(not view.is_today)
        self._actions[2].setEnabled(not view.is_today)
        self._body.setVisible(True)
        self._body.show_day(view)
        self._place_pending()
        self._body.fit(self._scroll.viewport().size())

    def _on_failed(self, problem: BaseException) -> None:
        self._body.setVisible(self._view is not None)  # with nothing in it, it says nothing
        self.session.tell_trouble(problem)

    def _place_pending(self) -> None:
        if self._view is not None:
            self._body.show_pending(pending_of(self._entry, self._view.person))

    def _keep_row_in_sight(self, _reading_id: object) -> None:
        """The table is as high as its rows: it is the page that scrolls."""
        table = self._body.written.table
        row = table.visualRect(table.currentIndex())
        at = table.viewport().mapTo(self._body, row.center())
        self._scroll.ensureVisible(at.x(), at.y(), 0, row.height())

    def _on_tick(self) -> None:
        """Follow the clock: the line of now, and midnight."""
        if not self.session.has_person:
            return
        minute = moment_now(self.session.now(), self.session.person.zone).minute
        if minute != self._minute and self._view is not None:
            shown_today = self._view.is_today or self._view.day == self.session.today()
            if shown_today or self._view.day != self.session.day:
                self.mark_stale()

    def _step(self, by: int) -> None:
        if not self.session.has_person:
            return
        day = self.session.day + timedelta(days=by)
        if _EARLIEST <= day <= self.session.today():
            self.session.show_day(None if day == self.session.today() else day)

    def _to_today(self) -> None:
        if self.session.has_person:
            self.session.show_day(None)

    def _to_the_targets(self) -> None:
        from app.ui.first_start import ask_for_settings

        if self.session.why_not:
            self.session.said.emit(Said(self.session.why_not, undo=False))
            return
        ask_for_settings(self.session, self.window())


def _read(
    diary: Diary, record: Record, known: tuple[Record, Beside] | None, day: date, now: datetime
) -> tuple[Record, Beside, DayView]:
    """The day, and what is written beside the record, read again only where the record changed."""
    beside = known[1] if known is not None and known[0] is record else None
    if beside is None:
        newest = {} if record.whole else {"since": record.since}
        try:
            beside = beside_of(diary, record.person, **newest)
        except Damaged:  # the readings are shown without; the window says that it is damaged
            beside = NOTHING
    return record, beside, day_view(diary, record, beside, day, now=now)
