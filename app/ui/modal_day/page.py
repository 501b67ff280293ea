"""The Modal day page: periods and views above, the chart, its slots, one line about a reading."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial

from PySide6.QtCore import QTimer
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.clock import Period
from app.review.day_rows import day_rows
from app.review.modal_day import ModalDay, Weekdays
from app.store.beside import NOTHING, Beside, beside_of
from app.ui.controls import Choice, FlowRow, PageHead
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled_whole
from app.ui.job import Job
from app.ui.modal_day import words
from app.ui.modal_day.asking import Wish, ask
from app.ui.modal_day.bar import ViewBar, spaced
from app.ui.modal_day.body import Body
from app.ui.modal_day.plot import ModalDayChart
from app.ui.modal_day.words import tr
from app.ui.page import Page
from app.ui.period_bar import PeriodBar
from app.ui.reading_words import reading_line
from app.ui.session import Session
from app.ui.words import period_words

_GATHER_MS = 50  # quick changes of the period in a row are asked as one
_WEEKDAYS: tuple[tuple[str, Weekdays], ...] = (
    ("All days", "all"),
    ("Mon – Fri", "weekdays"),
    ("Sat, Sun", "weekends"),
)


class ModalDayPage(Page):
    """Readings of a period laid over one day."""

    key = "modal-day"
    title = "Modal day"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._found: ModalDay | None = None
        self._beside: Beside = NOTHING
        self._beside_seen: tuple[int, int] | None = None
        self._person = session.person
        self._job, self._beside_job = Job(self), Job(self)
        self._job.answered.connect(self._on_found)
        self._job.failed.connect(session.tell_trouble)
        self._beside_job.answered.connect(self._on_beside)
        self._beside_job.failed.connect(session.tell_trouble)
        self._gather = QTimer(self)
        self._gather.setSingleShot(True)
        self._gather.setInterval(_GATHER_MS)
        self._gather.timeout.connect(self._ask)
        self.period = PeriodBar(session, self)
        self._days = Choice([(tr(text), value) for text, value in _WEEKDAYS], name=tr("Which days"))
        self._head = PageHead(
            tr("Modal day"), tools=(FlowRow((spaced(self.period), spaced(self._days)), gap=8),)
        )
        self._bar = ViewBar(person=session.person)
        self._body = Body()
        self._lay_out()
        self._days.activated.connect(self._ask_soon)
        self._bar.asked.connect(self._ask_soon)
        self._bar.drawn_changed.connect(self._draw)
        self._body.chart.pointed.connect(self._on_pointed)
        self._body.chart.hovered.connect(self._on_hovered)
        self._body.chart.chosen.connect(session.reading_chosen)
        self._body.chart.stepped.connect(self._on_stepped)
        self._body.newest_asked.connect(self.show_newest)
        session.period_changed.connect(self.mark_stale)
        self._by_slot = QAction(tr("Modal day by slot"), self)
        self._by_slot.setShortcut(QKeySequence("Ctrl+B"))
        self._by_slot.setCheckable(True)
        self._by_slot.toggled.connect(self._on_by_slot)

    def menu_actions(self) -> Sequence[tuple[str, QAction]]:
        return (("view", self._by_slot),)

    def take_focus(self) -> None:
        self.period.take_focus()

    def refresh(self) -> None:
        session = self.session
        if session.person != self._person:
            self._person = session.person
            self._bar.show_person(session.person)
        self.period.show_chosen()
        self._ask()

    @property
    def found(self) -> ModalDay | None:
        """What is shown."""
        return self._found

    @property
    def is_quiet(self) -> bool:
        """Whether no question is about to be asked."""
        return not self._gather.isActive()

    @property
    def chart(self) -> ModalDayChart:
        """The chart."""
        return self._body.chart

    @property
    def line(self) -> str:
        """What the line below the chart says."""
        return self._body.line

    def slot_sentences(self) -> list[str]:
        """The numbers of the slots as text, as a screen reader has them."""
        return self._body.slots.sentences()

    def _lay_out(self) -> None:
        content = QWidget()
        content.setObjectName("scrolled")
        column = QVBoxLayout(content)
        column.setContentsMargins(px(24), px(16), px(24), px(12))
        column.setSpacing(px(8))
        column.addWidget(self._head)
        column.addWidget(self.period.from_to)
        column.addWidget(self._bar)
        column.addWidget(self._body, 1)
        self.scrolled = scrolled_whole(content, self)

    def _wish(self) -> Wish:
        bar, chosen = self._bar, self._days.value()
        weekdays: Weekdays = "all"
        for _, value in _WEEKDAYS:
            if value == chosen:
                weekdays = value
        return Wish(
            period=self.session.period,
            weekdays=weekdays,
            view=bar.view,
            start_hour=bar.start_hour,
            by_clock=bar.windows.isChecked(),
            with_doubtful=bar.doubtful.isChecked(),
            with_rechecks=bar.rechecks.isChecked(),
        )

    def _ask_soon(self, *_what: object) -> None:
        self._gather.start()

    def _ask(self) -> None:
        session = self.session
        if not session.has_person:
            return
        self._job.start(partial(ask, session.diary, session.record, self._wish(), session.now()))
        seen = (session.person.id, session.record.columns.seen)
        if seen != self._beside_seen:
            self._beside_seen = seen
            self._beside_job.start(partial(beside_of, session.diary, session.person))

    def _on_found(self, found: ModalDay) -> None:
        self._found = found
        person = self.session.person
        self._head.set_subtitle(words.subtitle(found, person.date_order))
        self._bar.show_counts(found)
        self._bar.setVisible(bool(len(found.marks)))
        self._by_slot.blockSignals(True)
        self._by_slot.setChecked(found.view == "slots")
        self._by_slot.blockSignals(False)
        if len(found.marks):
            self._body.show_day(found, person)
            self._draw()
        else:
            has_any = self.session.record.last_day is not None
            dates = period_words(found.period, person.date_order)
            title, why = words.empty_words(dates, has_any=has_any)
            self._body.show_nothing(title, why, has_newest=has_any)

    def _draw(self) -> None:
        bar, found = self._bar, self._found
        self._body.chart.choose(
            readings=bar.readings.isChecked(),
            boxes=bar.boxes.isChecked() and not (found and found.windows),
            day_lines=bar.day_lines.isChecked() and bar.view == "clock",
        )

    def _on_beside(self, beside: Beside) -> None:
        self._beside = beside

    def _on_pointed(self, reading_id: int | None) -> None:
        if reading_id is None:
            self._body.say("")
            return
        session = self.session
        self._body.say(_told(session, self._beside, reading_id))

    def _on_hovered(self, x: float, value: float) -> None:
        if self._found is not None and self._found.density is not None:
            self._body.say(words.cell_words(self._found, x, value, self.session.person.clock))

    def _on_stepped(self, step: int) -> None:
        period = self.session.period
        moved = period.days * step
        first, last = period.first.toordinal() + moved, period.last.toordinal() + moved
        if first < 1 or last > self.session.today().toordinal():
            return
        ends = Period(date.fromordinal(first), date.fromordinal(last))
        if self.session.days is None:
            self.session.show_period(ends)
        else:
            self.session.show_days(self.session.days, ends.last)

    def show_newest(self) -> None:
        """Show the days up to the newest reading; without any, go to the entry line."""
        if self.session.record.last_day is None:
            self.go_to_line()
            return
        self._days.choose("all")
        self.session.show_newest()

    def _on_by_slot(self, on: bool) -> None:
        self._bar.choose_view("slots" if on else "clock")


def _told(session: Session, beside: Beside, reading_id: int) -> str:
    """One plain line about a reading; empty if it is gone."""
    columns = session.record.columns
    rows = day_rows(columns.where(columns.id == reading_id), session.person, beside)
    return reading_line(rows[0], session.person, session.today()) if rows else ""
