"""The Kit page: what needs an answer first, then the vials, the control tests, the meters."""

from __future__ import annotations

from datetime import datetime
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.review.kit import KitShown, kit_shown
from app.review.kit_tests import FailLine
from app.review.record import Record
from app.store.diary import Diary
from app.ui.controls import Button, FlowRow, PageHead, TextColumn
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled_whole
from app.ui.gate import writes
from app.ui.job import Job
from app.ui.kit.asides_section import AsidesSection
from app.ui.kit.cards_dialog import CardsDialog
from app.ui.kit.clocks_section import ClocksSection
from app.ui.kit.control_form import ControlForm
from app.ui.kit.control_section import ControlSection
from app.ui.kit.doubt_list import DoubtList
from app.ui.kit.eye_order import tab_as_the_eye_goes
from app.ui.kit.fail_box import FailBox
from app.ui.kit.forms import FormOf
from app.ui.kit.kit_section import KitSection
from app.ui.kit.memory_section import MemorySection
from app.ui.kit.meter_form import MeterForm
from app.ui.kit.meters_section import MetersSection
from app.ui.kit.parts_section import PartsSection
from app.ui.kit.vial_form import VialForm
from app.ui.kit.vials_section import VialsSection
from app.ui.kit.warnings_section import WarningsSection
from app.ui.kit.words import head_words, tr
from app.ui.page import Page
from app.ui.said import Said
from app.ui.session import Session
from app.work.kit_tests import narrow


class KitPage(Page):
    """Which readings can be trusted as far as the kit goes."""

    key = "kit"
    title = "Kit"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self.found: KitShown | None = None
        self.job, self.doing = Job(self), Job(self)
        self.job.answered.connect(self._on_found)
        self.job.failed.connect(session.tell_trouble)
        self.doing.answered.connect(self._on_done)
        self.doing.failed.connect(session.tell_trouble)
        self._build()

    def take_focus(self) -> None:
        self.meter.setFocus()

    def refresh(self) -> None:
        session = self.session
        if self.found is not None and self.found.person != session.person:
            self._body.setVisible(False)
        self.job.start(partial(_answer, session.diary, session.record, session.now()))
        self.clocks.refresh()

    def _build(self) -> None:
        self.test = writes(Button(tr("Control test…"), self))
        self.vial = writes(Button(tr("New vial…"), self))
        self.meter = writes(Button(tr("New meter…"), self))
        tools = FlowRow((self.meter, self.vial, self.test), gap=8)
        self.head = PageHead(tr("Kit"), parent=self, tools=[tools])
        self.fails = QVBoxLayout()
        self.warnings = WarningsSection(self.session, self)
        self.vials = VialsSection(self.session, self)
        self.controls = ControlSection(self.session, self)
        self.meters = MetersSection(self.session, self)
        self.memories = MemorySection(self.session, self)
        self.parts = PartsSection(self.session, self)
        self.asides = AsidesSection(self.session, self)
        self.asides.reading_chosen.connect(self.session.reading_chosen)
        self.sections: tuple[KitSection, ...] = (
            *(self.warnings, self.vials, self.controls, self.meters, self.memories),
            *(self.parts, self.asides),
        )
        for section in self.sections:
            section.done_with.connect(self._on_done)
        self.bars, self.table = self.vials.bars, self.controls.table
        self.clocks = ClocksSection(self.session, self)
        self.clocks.done_with.connect(self._on_done)
        self.clocks.job.answered.connect(self._order)  # its boxes are others then
        self.clocks.more_boxes.clicked.connect(self._order)
        self.empty = TextColumn(
            tr(
                "No meter is written down. With it, its strips and their dates the diary can say "
                "which readings to doubt. New meter begins it."
            ),
            self,
            ink="ink2",
        )
        self.technique = Button(tr("Technique cards…"), self, size="bar")
        self._body = QWidget(self)
        body = QVBoxLayout(self._body)
        body.setContentsMargins(0, 0, 0, 0)
        body.setSpacing(px(10))
        body.addLayout(self.fails)
        body.addWidget(self.clocks.boxes)
        for part in (
            *(self.warnings, self.vials, self.controls, self.meters, self.memories, self.parts),
            *(self.clocks, self.empty, self.asides, FlowRow((self.technique,))),
        ):
            body.addWidget(part)
        inside = self._inside = QWidget()
        inside.setObjectName("scrolled")
        column = QVBoxLayout(inside)
        column.setContentsMargins(px(24), px(16), px(24), px(16))
        column.setSpacing(px(12))
        column.addWidget(self.head)
        column.addWidget(self._body)
        column.addStretch(1)
        self.area = scrolled_whole(inside, self)
        self._body.setVisible(False)
        self.technique.clicked.connect(self._on_technique)
        self.test.clicked.connect(partial(self._on_form, ControlForm))
        self.vial.clicked.connect(partial(self._on_form, VialForm))
        self.meter.clicked.connect(partial(self._on_form, MeterForm))

    def _on_found(self, found: KitShown) -> None:
        self.found = found
        self.head.set_subtitle(head_words(found))
        self._show_fails(found)
        there = bool(found.meters)
        for section in self.sections:
            section.show_kit(found)
        self.empty.setVisible(not there)
        self.test.setEnabled(there)
        self._body.setVisible(True)
        self._order()

    def _order(self, *_what: object) -> None:
        tab_as_the_eye_goes(self._inside)

    def _show_fails(self, found: KitShown) -> None:
        while (item := self.fails.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        open_ones = [each for each in found.fails if each.waits or not each.passed_since]
        self.boxes = [FailBox(each, self._body) for each in open_ones]
        for box in self.boxes:
            box.said.connect(self._on_said)
            box.shown.connect(self._on_listed)
            self.fails.addWidget(box)

    def _on_form(self, form: FormOf, _checked: bool = False) -> None:
        if self.found is None:
            return
        self.form = form(self.session, self.found, self)
        self.form.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.form.done_with.connect(self._on_done)
        self.form.open()

    def _on_technique(self) -> None:
        self.cards = CardsDialog(self)
        self.cards.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.cards.open()

    def _on_said(self, fail: FailLine, verdict: str) -> None:
        session = self.session
        self.doing.start(
            partial(_narrowed, session.diary, session.record, fail, verdict, session.now())
        )

    def _on_listed(self, fail: FailLine) -> None:
        if self.found is None:
            return
        self.doubtful = DoubtList(self.session, self.found, fail, self)
        self.doubtful.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.doubtful.reading_chosen.connect(self.session.reading_chosen)
        self.doubtful.open()

    def _on_done(self, sentence: str) -> None:
        self.session.changed(Said(sentence))
        self.mark_stale()


def _answer(diary: Diary, record: Record, now: datetime) -> KitShown:
    return kit_shown(diary, record, now=now)


def _narrowed(diary: Diary, record: Record, fail: FailLine, verdict: str, now: datetime) -> str:
    return narrow(diary, record.person, fail.failed, verdict, now=now).sentence
