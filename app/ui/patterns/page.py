"""The Patterns page: lows first, what repeats and how sure that is, and what could hide it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from functools import partial
from typing import NamedTuple

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.clock import Period
from app.look.theme import follow_theme
from app.review.asked_before import AskedSoFar, asked_so_far
from app.review.night_stories import NightsFound, nights_of
from app.review.pairs import PairsFound, pairs_of
from app.review.patterns_shown import PatternsShown, patterns_shown
from app.review.record import Record
from app.store.diary import Diary
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled_whole
from app.ui.job import Job
from app.ui.page import Page
from app.ui.patterns.ask_dialog import AskDialog
from app.ui.patterns.body import PatternsBody
from app.ui.patterns.empty import EmptyPatterns
from app.ui.patterns.head import PatternsHead
from app.ui.patterns.questions import AT_FIRST
from app.ui.patterns.words import subtitle, tr
from app.ui.session import Session
from app.ui.words import period_words

_BUSY_MS = 300  # common practice, no source: sooner, a busy sign only flickers


class _Beside(NamedTuple):
    """Meals and nights of a period."""

    pairs: PairsFound
    nights: NightsFound


class PatternsPage(Page):
    """What repeats in the chosen period; three answers come one after the other."""

    key = "patterns"
    title = "Patterns"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._uid: object = None
        self._all_questions = False
        self._dialog: AskDialog | None = None
        self.job, self.beside_job, self.questions_job = Job(self), Job(self), Job(self)
        self._busy = QTimer(self)
        self._busy.setSingleShot(True)
        self._busy.setInterval(_BUSY_MS)
        self._build()
        self._ask_action = QAction(tr("Ask a question…"), self)
        self._ask_action.setShortcut(QKeySequence("Ctrl+Shift+Q"))
        self._ask_action.setStatusTip(tr("Ask a question…"))
        self._ask_action.triggered.connect(self.open_dialog)
        self._connect()
        follow_theme(self._restyle)

    def menu_actions(self) -> Sequence[tuple[str, QAction]]:
        return (("edit", self._ask_action),)

    def take_focus(self) -> None:
        self.head.take_focus()

    @property
    def dialog(self) -> AskDialog | None:
        """The window for questions, once it was opened."""
        return self._dialog

    def refresh(self) -> None:
        session = self.session
        diary, record, period = session.diary, session.record, session.period
        self.head.period.show_chosen()
        if session.person.uid != self._uid:  # never somebody else's, not for a moment
            self._uid = session.person.uid
            self._all_questions = False
            self.body.hide()
            self.empty.hide()
            self.head.set_subtitle(period_words(period, session.person.date_order))
        self._busy.start()
        now = session.now()
        self.job.start(partial(patterns_shown, diary, record, period, now=now))
        self.beside_job.start(partial(_beside, diary, record, period, now))
        self._ask_again()

    def open_dialog(self) -> None:
        """Open the window in which a question is put together."""
        if not self.session.has_person:
            return
        if self._dialog is None:
            self._dialog = AskDialog(self.session, self)
        self._dialog.open_for(self.session)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        bar = self.area.verticalScrollBar()
        step = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}.get(Qt.Key(event.key()), 0)
        if step:
            bar.setValue(bar.value() + step * (bar.pageStep() - px(40)))
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fold()

    def _build(self) -> None:
        self.head = PatternsHead(self.session, self)
        self.empty = EmptyPatterns(self)
        self.body = PatternsBody(self.session, self)
        inside = QWidget()
        inside.setObjectName("scrolled")
        self._inside = QVBoxLayout(inside)
        for whole in (self.head, self.empty, self.body):
            self._inside.addWidget(whole)
        self._inside.addStretch(1)
        self.area = scrolled_whole(inside, self)
        self.body.hide()
        self.empty.hide()

    def _connect(self) -> None:
        session = self.session
        session.period_changed.connect(self.mark_stale)
        self.job.answered.connect(self._show)
        self.beside_job.answered.connect(self._show_beside)
        self.questions_job.answered.connect(self._show_questions)
        for job in (self.job, self.beside_job, self.questions_job):
            job.failed.connect(self._on_failed)
        self._busy.timeout.connect(self._on_busy)
        self.head.ask_asked.connect(self.open_dialog)
        self.empty.newest_asked.connect(session.show_newest)
        self.empty.line_asked.connect(self.go_to_line)
        self.body.day_asked.connect(self.go_to_day)
        self.body.looked_at.connect(self._on_looked_at)
        self.body.questions.all_asked.connect(self._on_all_questions)

    def _show(self, shown: PatternsShown) -> None:
        self._busy.stop()
        if shown.found.person.uid != self.session.person.uid:
            return
        n = shown.found.n
        self.head.set_subtitle(subtitle(shown))
        self.empty.setVisible(not n)
        if not n:
            self.empty.show_state(shown)
        self.body.show_patterns(shown)
        # The map, and help without a reading, may lie before or beside days without readings.
        self.body.setVisible(bool(n or shown.tests.n or shown.found.at_once))
        self._fold()

    def _show_beside(self, beside: _Beside) -> None:
        if beside.pairs.person.uid == self.session.person.uid:
            self.body.meals.show_pairs(beside.pairs, self.session)
            self.body.nights.show_nights(beside.nights, self.session)
            self._fold()

    def _show_questions(self, asked: AskedSoFar) -> None:
        if asked.person.uid == self.session.person.uid:
            self.body.questions.show_questions(asked, self.session)

    def _ask_again(self) -> None:
        session = self.session
        at_most = None if self._all_questions else AT_FIRST
        self.questions_job.start(
            partial(asked_so_far, session.diary, session.record, now=session.now(), at_most=at_most)
        )

    def _on_all_questions(self) -> None:
        self._all_questions = True
        self._ask_again()

    def _on_looked_at(self, part: QWidget) -> None:
        self.area.ensureWidgetVisible(part, 0, px(12))

    def _on_busy(self) -> None:
        person = self.session.person
        days = period_words(self.session.period, person.date_order)
        self.head.set_subtitle(tr("{period} · looking through the readings").format(period=days))

    def _on_failed(self, problem: BaseException) -> None:
        self._busy.stop()
        self.session.tell_trouble(problem)

    def _fold(self) -> None:
        self.body.fold(self.area.viewport().width() - 2 * px(24))

    def _restyle(self) -> None:
        self._inside.setContentsMargins(px(24), px(16), px(24), px(16))
        self._inside.setSpacing(px(12))
        self._fold()


def _beside(diary: Diary, record: Record, period: Period, now: datetime) -> _Beside:
    return _Beside(
        pairs_of(diary, record, period, now=now), nights_of(diary, record, period, now=now)
    )
