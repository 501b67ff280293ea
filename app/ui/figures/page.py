"""The Figures page: trust and lows first, then averages, shares, slots, and what is folded."""

from __future__ import annotations

from datetime import datetime
from functools import partial

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from app.domain.clock import Period
from app.look.theme import follow_theme
from app.review.figures_shown import FiguresShown, figures_shown, takes_long
from app.review.record import Record
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled_whole
from app.ui.figures.body import FiguresBody
from app.ui.figures.empty import EmptyFigures
from app.ui.figures.head import FiguresHead
from app.ui.figures.helped import explain, help_key_of, is_help
from app.ui.figures.sentences import subtitle
from app.ui.figures.words import tr
from app.ui.job import Job
from app.ui.page import Page
from app.ui.session import Session
from app.ui.words import period_words

_FIRST_HELP = "trust"  # where no figure has the focus
_BUSY_MS = 300  # common practice, no source: sooner, a busy sign only flickers


class FiguresPage(Page):
    """All figures of the chosen period, with the readings in doubt or without them."""

    key = "figures"
    title = "Figures"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._uid: object = None
        self._asked = 0
        self.job = Job(self)
        self._busy = QTimer(self)
        self._busy.setSingleShot(True)
        self._busy.setInterval(_BUSY_MS)
        self._build()
        session.period_changed.connect(self.mark_stale)
        self.job.answered.connect(self._on_answered)
        self.job.failed.connect(self._on_failed)
        self._busy.timeout.connect(self._on_busy)
        self.head.doubt_chosen.connect(self.mark_stale)
        self.body.periods.days_picked.connect(self._on_days)
        self.body.lows.reading_picked.connect(session.reading_chosen)
        self.body.help_asked.connect(self.explain)
        self.empty.period_asked.connect(self._on_last_days)
        follow_theme(self._restyle)

    def take_focus(self) -> None:
        self.head.take_focus()

    def refresh(self) -> None:
        session = self.session
        period = session.period
        self.head.period.show_chosen()
        if session.person.uid != self._uid:  # never somebody else's figures, not for a moment
            self._uid = session.person.uid
            self.body.setVisible(False)
            self.empty.setVisible(False)
            self.head.set_subtitle(period_words(period, session.person.date_order))
        self._asked += 1
        ask = partial(
            _answer,
            self._asked,
            session.record,
            period,
            now=session.now(),
            doubtful=self.head.with_doubt,
        )
        self.body.lows.ask(period)  # at the same time, in a thread of its own
        if takes_long(session.record, period):
            self._busy.start()
            self.job.start(ask)
        else:
            self._on_answered(ask())

    def event(self, event: QEvent) -> bool:
        if event.type() is QEvent.Type.ShortcutOverride and is_help(event):
            event.accept()  # on this page F1 explains a figure; elsewhere it opens the cautions
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        bar = self.area.verticalScrollBar()
        step = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}.get(Qt.Key(event.key()), 0)
        if is_help(event):
            self.explain(help_key_of(QApplication.focusWidget()) or _FIRST_HELP)
        elif step:
            bar.setValue(bar.value() + step * (bar.pageStep() - px(40)))
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fold()

    def _build(self) -> None:
        self.head = FiguresHead(self.session, self)
        self.empty = EmptyFigures(self)
        self.body = FiguresBody(self.session, self)
        inside = QWidget()
        inside.setObjectName("scrolled")
        self._inside = QVBoxLayout(inside)
        for whole in (self.head, self.empty, self.body):
            self._inside.addWidget(whole)
        self._inside.addStretch(1)
        self.area = scrolled_whole(inside, self)
        self.body.setVisible(False)
        self.empty.setVisible(False)

    def _on_answered(self, answer: tuple[int, FiguresShown]) -> None:
        number, shown = answer
        if number == self._asked:  # else a later question was answered at once
            self._busy.stop()
            self._show(shown)

    def _show(self, shown: FiguresShown) -> None:
        self.head.set_subtitle(subtitle(shown))
        self.head.show_doubt(shown.whole)
        self.empty.show_state(shown)
        self.empty.setVisible(not shown.figures.n)
        self.body.show_figures(shown)
        self._fold()

    def _on_days(self, days: int) -> None:
        ending = self.session.period.last
        self.session.show_days(days, None if ending == self.session.today() else ending)

    def _on_last_days(self, period: Period) -> None:
        self.session.show_days(period.days, period.last)

    def explain(self, key: str) -> None:
        """Open the help texts at that of a figure."""
        explain(self, key)

    def _on_busy(self) -> None:
        self.head.set_subtitle(
            tr("{period} · working out the figures").format(
                period=period_words(self.session.period, self.session.person.date_order)
            )
        )

    def _on_failed(self, problem: BaseException) -> None:
        self._busy.stop()
        self.session.tell_trouble(problem)

    def _fold(self) -> None:
        self.body.fold(self.area.viewport().width() - 2 * px(24))

    def _restyle(self) -> None:
        self._inside.setContentsMargins(px(24), px(16), px(24), px(16))
        self._inside.setSpacing(px(12))
        self._fold()


def _answer(
    number: int, record: Record, period: Period, *, now: datetime, doubtful: bool
) -> tuple[int, FiguresShown]:
    return number, figures_shown(record, period, now=now, doubtful=doubtful)
