"""The Appointment page: choices at one side, the sheet as it will be printed at the other."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtCore import QStandardPaths, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFileDialog, QScrollArea, QVBoxLayout, QWidget

from app.domain.clock import Period
from app.look.type import Role
from app.report.dates import title_of
from app.report.out import print_sheet, write_page
from app.review.record import Record
from app.review.visit import VisitPage, visit_page
from app.store.asks import Ask, asks_of
from app.store.diary import Diary
from app.ui.appointment.asks import AskList
from app.ui.appointment.preview import SheetPreview
from app.ui.appointment.show import FullScreenSheet
from app.ui.appointment.visit_form import VisitForm
from app.ui.appointment.words import tr
from app.ui.controls import Button, Choice, FlowRow, PageHead, TextColumn
from app.ui.controls.drawing import px
from app.ui.job import Job
from app.ui.page import Page
from app.ui.period_bar import PeriodBar
from app.ui.said import Said
from app.ui.session import Session
from app.ui.words import period_words
from app.work.visits import keep_visit, tick_off, write_ask

_SIDE_PX, _BESIDE_PX = 300, 820
_PAPERS = ("A4", "Letter")


class AppointmentPage(Page):
    """What is brought to a visit: one sheet, printed, saved or shown, and what to ask."""

    key = "appointment"
    title = "Appointment"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self.found: VisitPage | None = None
        self._asks: tuple[Ask, ...] = ()
        self.job, self.doing = Job(self), Job(self)
        self.job.answered.connect(self._on_found)
        self.job.failed.connect(session.tell_trouble)
        self.doing.answered.connect(self._on_done)
        self.doing.failed.connect(self._on_refused)
        session.period_changed.connect(self.mark_stale)
        self._build()

    def take_focus(self) -> None:
        self.period.take_focus()

    def refresh(self) -> None:
        session = self.session
        self.period.show_chosen()
        if self.found is not None and self.found.person != session.person:
            self.found = None
            self.preview.setVisible(False)
        order = session.person.date_order
        self.head.set_subtitle(
            tr("{period} · one sheet; the second unit in brackets").format(
                period=period_words(session.period, order)
            )
        )
        self.job.start(
            partial(_answer, session.diary, session.record, session.period, session.now())
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        wide = event.size().width() >= px(_BESIDE_PX)
        self._both.setDirection(
            QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        )
        self._side.setMaximumWidth(px(_SIDE_PX) if wide else 16_777_215)

    def _build(self) -> None:
        self.period = PeriodBar(self.session, self)
        self.paper = Choice([(name, name) for name in _PAPERS], name=tr("Paper"))
        self.head = PageHead(
            tr("Appointment"), parent=self, tools=[FlowRow((self.period, self.paper), gap=8)]
        )
        self.save = Button(tr("Save as PDF…"), self, main=True)
        self.web = Button(tr("Save as web page…"), self)
        self.printing = Button(tr("Print…"), self)
        self.showing = Button(tr("Show on the whole screen"), self)
        self.asks = AskList(self)
        self.visit = VisitForm(self.session, self)
        self.preview = SheetPreview(self)
        self._side = QWidget(self)
        side = QVBoxLayout(self._side)
        side.setContentsMargins(0, 0, 0, 0)
        side.setSpacing(px(8))
        for button in (self.save, self.printing, self.web, self.showing):
            side.addWidget(button, 0, Qt.AlignmentFlag.AlignLeading)
        note = TextColumn(
            tr(
                "The sheet holds readings and what was written beside them; files are for your "
                "eyes only until you send them."
            ),
            self,
            role=Role.SMALL,
            ink="ink3",
        )
        side.addWidget(note)
        side.addSpacing(px(8))
        side.addWidget(self.asks)
        side.addSpacing(px(8))
        side.addWidget(self.visit)
        side.addStretch(1)
        self._both = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._both.setSpacing(px(24))
        self._both.addWidget(self._side)
        self._both.addWidget(self.preview, 1, Qt.AlignmentFlag.AlignTop)
        inside = QWidget()
        inside.setObjectName("scrolled")
        column = QVBoxLayout(inside)
        column.setContentsMargins(px(24), px(16), px(24), px(16))
        column.setSpacing(px(12))
        column.addWidget(self.head)
        column.addWidget(self.period.from_to)
        column.addLayout(self._both)
        column.addStretch(1)
        self.area = QScrollArea(self)
        self.area.setFrameShape(QScrollArea.Shape.NoFrame)
        self.area.setWidgetResizable(True)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setWidget(inside)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self.area)
        self.preview.setVisible(False)
        self.paper.activated.connect(lambda _at: self._show())
        self.save.clicked.connect(partial(self._on_save, ".pdf"))
        self.web.clicked.connect(partial(self._on_save, ".html"))
        self.printing.clicked.connect(self._on_print)
        self.showing.clicked.connect(self._on_show)
        self.asks.written.connect(self._on_ask)
        self.asks.ticked.connect(self._on_ticked)
        self.visit.kept.connect(self._on_visit)
        self._turn(on=False)

    def _turn(self, *, on: bool) -> None:
        for button in (self.save, self.web, self.printing, self.showing):
            button.setEnabled(on)

    def _on_found(self, answer: tuple[VisitPage, tuple[Ask, ...]]) -> None:
        self.found, self._asks = answer
        self.asks.show_asks([each for each in self._asks if each.done_at is None])
        self._turn(on=True)
        self._show()

    def _show(self) -> None:
        if self.found is not None:
            self.preview.show_page(self.found, str(self.paper.value()))
            self.preview.setVisible(True)

    def _on_save(self, ending: str, _checked: bool = False) -> None:
        if self.found is None:
            return
        places = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        name = (
            title_of(self.found.period, self.found.person).split("·")[0].strip().replace(" ", "-")
            + ending
        )
        chosen, _ = QFileDialog.getSaveFileName(
            self, tr("Save the sheet"), str(Path(places) / name), f"*{ending}"
        )
        if chosen:
            self.save_to(Path(chosen).with_suffix(ending))

    def save_to(self, out: Path) -> None:
        """Write the sheet shown into a file, off the GUI thread."""
        assert self.found is not None
        paper, page = str(self.paper.value()), self.found
        self.doing.start(partial(_written, page, out, paper))

    def _on_print(self) -> None:
        if self.found is not None:
            print_sheet(self.found, str(self.paper.value()), self)

    def _on_show(self) -> None:
        if self.found is not None:
            FullScreenSheet(self.found, self).showFullScreen()

    def _on_ask(self, text: str) -> None:
        session = self.session
        self._do(lambda now: _asked(session.diary, session.record, text, now))

    def _on_ticked(self, number: int) -> None:
        session = self.session
        self._do(lambda now: _ticked(session.diary, session.record, number, now))

    def _on_visit(self, day: date, outcome: str) -> None:
        session = self.session
        self._do(lambda now: _visited(session.diary, session.record, day, outcome, now))

    def _do(self, call: Callable[[datetime], str]) -> None:
        self.doing.start(partial(call, self.session.now()))

    def _on_done(self, done: Any) -> None:
        sentence, changed = done if isinstance(done, tuple) else (done, True)
        if changed:
            self.asks.line.clear()
            self.session.changed(Said(sentence))
            self.mark_stale()
        else:
            self.session.said.emit(Said(sentence, undo=False))

    def _on_refused(self, trouble: BaseException) -> None:
        self.session.tell_trouble(trouble)


def _answer(
    diary: Diary, record: Record, period: Period, now: datetime
) -> tuple[VisitPage, tuple[Ask, ...]]:
    return visit_page(diary, record, period, now=now), asks_of(diary, record.person)


def _written(page: VisitPage, out: Path, paper: str) -> tuple[str, bool]:
    write_page(page, out, paper)
    return tr("The sheet was saved as {name}. Only you can read it.").format(name=out.name), False


def _asked(diary: Diary, record: Record, text: str, now: datetime) -> str:
    kept = write_ask(diary, record.person, text, now=now)
    return tr("Kept for the visit: {text}").format(text=kept.text)


def _ticked(diary: Diary, record: Record, number: int, now: datetime) -> str:
    done = tick_off(diary, record.person, number, now=now)
    return tr("Ticked off: {text}").format(text=done.text)


def _visited(diary: Diary, record: Record, day: date, outcome: str, now: datetime) -> str:
    keep_visit(diary, record.person, day, outcome=outcome or None, now=now)
    return tr("The visit of {day} was written down.").format(day=day.isoformat())
