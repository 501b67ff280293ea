"""Meters' clocks on the Kit page: what looks wrong, what was set and repaired, what has no time."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from app.domain.errors import DiaryError
from app.review.clock_stretch import run_of_one
from app.review.clocks import Clocks, Proposal, Repair, clocks_of
from app.review.memories import Record
from app.ui.controls import Button, FlowRow, Hairline, SectionTitle
from app.ui.controls.drawing import px
from app.ui.figures.cells import Cell, Head
from app.ui.figures.table import FigureTable
from app.ui.gate import writes
from app.ui.job import Job
from app.ui.kit.clocks_acts import kept_in_doubt, left_as_it_is
from app.ui.kit.clocks_box import DOUBT, PLACE, RIGHT, ClockBox
from app.ui.kit.clocks_draft import Stretch, stretch_of, stretch_proposed, stretch_repaired
from app.ui.kit.clocks_forms import SettingForm, StayForm, StretchForm
from app.ui.kit.clocks_repair import RepairDialog
from app.ui.kit.clocks_undated import UndatedSection
from app.ui.kit.clocks_words import ClockLine, clock_lines
from app.ui.kit.forms import KitForm
from app.ui.kit.words import many, tr
from app.ui.session import Session

FEW_BOXES, FEW_LINES = 2, 5


class ClocksSection(QWidget):
    """Everything about clocks. `boxes`, what waits for a word, stands where the page puts it.

    Signals: done_with(str), the sentence of what was changed.
    """

    done_with = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.found: Clocks | None = None
        self.dialog: QDialog | None = None
        self.open_boxes: list[ClockBox] = []
        self._lines: list[ClockLine] = []
        self._all_boxes = self._all_lines = False
        self.job, self.doing = Job(self), Job(self)
        self.job.answered.connect(self._on_found)
        self.doing.answered.connect(self._on_done)
        for each in (self.job, self.doing):
            each.failed.connect(session.tell_trouble)
        self._build()

    def refresh(self) -> None:
        """Look at the clocks of the person shown."""
        session = self.session
        if self.found is not None and self.found.person != session.person:
            self._all_boxes = self._all_lines = False
        self.job.start(partial(clocks_of, session.diary, session.person))

    def _build(self) -> None:
        self.boxes = QWidget(self)
        self._box_column = QVBoxLayout(self.boxes)
        self._box_column.setContentsMargins(0, 0, 0, 0)
        self.more_boxes = Button("", self.boxes, size="bar")
        self.more_boxes.clicked.connect(self._on_more_boxes)
        self.title = SectionTitle(tr("Meters' clocks"), self)
        self.table = FigureTable(
            self,
            name=tr("Settings and repairs of clocks, the newest first"),
            strip_column=3,
            may_shorten=True,
        )
        self.table.picked.connect(self._on_picked)
        self.more_lines = Button("", self, size="bar")
        self.more_lines.clicked.connect(self._on_more_lines)
        self.set = writes(Button(tr("A clock was set…"), self, size="bar"))
        self.stay = writes(Button(tr("A stay in another zone…"), self, size="bar"))
        self.another = writes(Button(tr("Set another stretch right…"), self, size="bar"))
        self.undated = UndatedSection(self)
        self.undated.record_chosen.connect(self._on_undated)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(10))
        tools = FlowRow((self.set, self.stay, self.another, self.more_lines), gap=8)
        for part in (
            Hairline(self),
            self.title,
            self.table,
            tools,
            self.undated,
        ):
            column.addWidget(part)
        self.set.clicked.connect(self._on_set)
        self.stay.clicked.connect(partial(self._open_stay, None))
        self.another.clicked.connect(self._on_another)

    def _on_found(self, found: Clocks) -> None:
        self.found = found
        self._show_boxes(found)
        self._show_lines(found)
        self.undated.show_records(found.undated)
        for each in (self.set, self.stay):
            each.setEnabled(bool(found.memories))
        self.another.setEnabled(any(each.records for each in found.memories))
        self.setVisible(bool(found.memories or found.undated))

    def _show_boxes(self, found: Clocks) -> None:
        open_ones: list[Proposal | Repair] = [*_disagreeing(found), *found.proposals]
        shown = open_ones if self._all_boxes else open_ones[:FEW_BOXES]
        if [box.about for box in self.open_boxes] != shown:  # else focus stays where it is
            self._put_boxes(shown)
        more = len(open_ones) - len(shown)
        _say_more(self.more_boxes, more, "{n} more stretch", "{n} more stretches")
        self.boxes.setVisible(bool(open_ones))
        note = tr("no stamp looks wrong")
        if open_ones:
            note = many(len(open_ones), "{n} stretch to look at", "{n} stretches to look at")
        if any(each.row.state != "proposed" for each in found.repairs):
            note += tr(" · Enter on a repair shows its times")
        self.title.set_note(note)

    def _put_boxes(self, shown: Sequence[Proposal | Repair]) -> None:
        for box in self.open_boxes:
            box.hide()
            box.deleteLater()
        self.open_boxes = [ClockBox(each, self.boxes) for each in shown]
        self._box_column.removeWidget(self.more_boxes)
        for box in self.open_boxes:
            box.opened.connect(self._on_opened)
            box.said.connect(self._on_said)
            self._box_column.addWidget(box)
        self._box_column.addWidget(self.more_boxes, 0, Qt.AlignmentFlag.AlignLeft)

    def _show_lines(self, found: Clocks) -> None:
        lines = clock_lines(found, self.session.today())
        self._lines = lines if self._all_lines else lines[:FEW_LINES]
        heads = [tr("When"), tr("Meter"), tr("What"), tr("Why")]
        self.table.cells.set_cells(
            [Head(each, at_end=False) for each in heads],
            [_cells_of_line(each) for each in self._lines],
        )
        self.table.setVisible(bool(lines))
        more = len(lines) - len(self._lines)
        _say_more(self.more_lines, more, "{n} earlier one", "{n} earlier ones")

    def _on_more_boxes(self) -> None:
        self._all_boxes = True
        before = len(self.open_boxes)
        if self.found is not None:
            self._on_found(self.found)
            self.open_boxes[before].buttons[0].setFocus()

    def _on_more_lines(self) -> None:
        self._all_lines = True
        if self.found is not None:
            self._on_found(self.found)
            self.table.setFocus()

    def _on_picked(self, _column: int) -> None:
        line = self._lines[self.table.currentIndex().row()]
        if line.repair is not None and line.repair.row.state != "proposed":
            self._on_opened(line.repair)

    def _on_undated(self, record: Record) -> None:
        """Go to what would date a record: its stretch, else a known moment of it alone."""
        found = self.found
        if found is None:
            return
        for about in (*_disagreeing(found), *found.proposals):
            if any(each.id == record.id for each in about.records):
                self._on_opened(about)
                return
        try:
            self._open_repair(stretch_of(found, run_of_one(found, record)))
        except DiaryError as trouble:
            self.session.tell_trouble(trouble)

    def _on_opened(self, about: Proposal | Repair) -> None:
        if self.found is None:
            return
        try:
            stretch = (
                stretch_proposed(self.found, about)
                if isinstance(about, Proposal)
                else stretch_repaired(self.found, about)
            )
        except DiaryError as trouble:
            self.session.tell_trouble(trouble)
            return
        self._open_repair(stretch)

    def _open_repair(self, stretch: Stretch) -> None:
        dialog = RepairDialog(self.session, stretch, self)
        dialog.done_with.connect(self.done_with)
        self._open(dialog)

    def _open_stay(self, about: Proposal | None, _checked: bool = False) -> None:
        self._open_form(StayForm(self.session, about, self))

    def _on_set(self) -> None:
        if self.found is not None:
            self._open_form(SettingForm(self.session, self.found, self))

    def _on_another(self) -> None:
        if self.found is not None:
            form = StretchForm(self.session, self.found, self)
            form.chosen.connect(self._open_repair)
            self._open_form(form)

    def _open_form(self, form: KitForm) -> None:
        form.done_with.connect(self.done_with)
        self._open(form)

    def _open(self, dialog: QDialog) -> None:
        self.dialog = dialog
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    def _on_done(self, sentence: str) -> None:
        self.done_with.emit(sentence)

    def _on_said(self, about: Proposal, word: str) -> None:
        if word == PLACE:
            self._open_stay(about)
        elif self.found is not None and not self.doing.busy:
            session = self.session
            call = {RIGHT: left_as_it_is, DOUBT: kept_in_doubt}[word]
            self.doing.start(
                partial(call, session.diary, session.person, self.found, about, session.now())
            )


def _disagreeing(found: Clocks) -> list[Repair]:
    return [each for each in found.repairs if each.row.state == "disagrees" and each.records]


def _say_more(button: Button, more: int, one: str, several: str) -> None:
    """Offer what is not shown yet, where there is anything."""
    button.setText(many(more, one, several))
    button.setAccessibleName(button.text())
    button.setVisible(bool(more))


def _cells_of_line(line: ClockLine) -> Sequence[Cell]:
    return (
        Cell(line.when, at_end=False),
        Cell(line.meter, at_end=False),
        Cell(line.what, said=line.what, at_end=False),
        Cell(line.why, said=line.why, at_end=False, ink="ink2"),
    )
