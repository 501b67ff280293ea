"""The Appointment page: choices at one side, the sheet as it will be printed at the other."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtCore import QStandardPaths, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFileDialog, QVBoxLayout, QWidget

from app.look.type import Role
from app.report.dates import title_of
from app.report.out import print_sheet
from app.report.words import many
from app.ui.appointment.asks import AskList
from app.ui.appointment.doing import Found, asked, found_for, ticked, visited, written
from app.ui.appointment.preview import SheetPreview
from app.ui.appointment.show import FullScreenSheet
from app.ui.appointment.visit_form import VisitForm
from app.ui.appointment.words import tr
from app.ui.controls import Button, CheckBox, Choice, FlowRow, Label, PageHead, TextColumn
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled_whole
from app.ui.job import Job
from app.ui.page import Page
from app.ui.period_bar import PeriodBar
from app.ui.said import Said
from app.ui.session import Session
from app.ui.words import period_words

_SIDE_PX, _BESIDE_PX = 300, 820
_PAPERS = ("A4", "Letter")


class AppointmentPage(Page):
    """What is brought to a visit: one sheet, printed, saved or shown, and what to ask."""

    key = "appointment"
    title = "Appointment"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self.found: Found | None = None
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
        if self.found is not None and self.found.page.person != session.person:
            self.found = None
            self.preview.setVisible(False)
        order = session.person.date_order
        self.head.set_subtitle(
            tr("{period} · one sheet; the second unit in brackets").format(
                period=period_words(session.period, order)
            )
        )
        self.job.start(
            partial(
                found_for,
                session.diary,
                session.record,
                session.period,
                session.now(),
                with_second=self.second.isChecked(),
            )
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
        self.second = CheckBox(tr("With the second sheet"), self)
        self.pages = Label("", self, role=Role.SMALL, ink="ink3", wrap=True)
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
        side.addWidget(self.second)
        side.addWidget(self.pages)
        note = TextColumn(
            tr(
                "The second sheet has all readings by day, and the lows with their notes. "
                "Files are for your eyes only until you send them."
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
        self.area = scrolled_whole(inside, self)
        self.preview.setVisible(False)
        self.paper.activated.connect(lambda _at: self._show())
        self.second.toggled.connect(self._on_second)
        self.preview.painted_anew.connect(self._on_painted)
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

    def _on_second(self, _on: bool) -> None:
        self.refresh()

    def _on_found(self, found: Found) -> None:
        self.found = found
        self.asks.show_asks([each for each in found.asks if each.done_at is None])
        self._turn(on=True)
        self._show()

    def _show(self) -> None:
        if self.found is not None:
            self.preview.setVisible(True)
            found = self.found
            self.preview.show_page(found.page, str(self.paper.value()), found.second)

    def _on_painted(self) -> None:
        shown, pages = len(self.preview.images), self.preview.pages
        said = many(pages, "page", "pages")
        if shown < pages:
            said = tr("{pages}; the first {n} are shown").format(pages=said, n=shown)
        self.pages.setText(said)

    def _on_save(self, ending: str, _checked: bool = False) -> None:
        if self.found is None:
            return
        places = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        title = title_of(self.found.page.period, self.found.page.person)
        name = title.split("·")[0].strip().replace(" ", "-").replace(",", "") + ending
        chosen, _ = QFileDialog.getSaveFileName(
            self, tr("Save the sheet"), str(Path(places) / name), f"*{ending}"
        )
        if chosen:
            self.save_to(Path(chosen).with_suffix(ending))

    def save_to(self, out: Path) -> None:
        """Write the sheet shown into a file, off the GUI thread."""
        assert self.found is not None
        self.doing.start(partial(written, self.found, out, str(self.paper.value())))

    def _on_print(self) -> None:
        if self.found is not None:
            found, paper = self.found, str(self.paper.value())
            print_sheet(found.page, paper, self, found.second)

    def _on_show(self) -> None:
        if self.found is not None:
            FullScreenSheet(self.found.page, self).showFullScreen()

    def _on_ask(self, text: str) -> None:
        session = self.session
        self._do(lambda now: asked(session.diary, session.record, text, now))

    def _on_ticked(self, number: int) -> None:
        session = self.session
        self._do(lambda now: ticked(session.diary, session.record, number, now))

    def _on_visit(self, day: date, outcome: str) -> None:
        session = self.session
        self._do(lambda now: visited(session.diary, session.record, day, outcome, now))

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
