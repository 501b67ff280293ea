"""The card: what it is to hold at one side, the card as it will be printed at the other."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from functools import partial
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QDate, QSignalBlocker, QSize, QStandardPaths, Qt
from PySide6.QtGui import QImage, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFileDialog, QVBoxLayout, QWidget

from app.domain.clock import zone_named
from app.domain.errors import DiaryError
from app.domain.glucose import Unit
from app.look.type import Role
from app.report.card import Fit, fit_of, paint_card, plain_of, too_long_words
from app.report.card_said import card_said
from app.report.out import image_of, print_card, write_card
from app.review.hand_over import (
    GRID_DAYS,
    USUAL_DAYS,
    USUAL_PARTS,
    CardChoice,
    CardPart,
    HandOverCard,
    hand_over_card,
)
from app.review.record import Record
from app.store.diary import Diary
from app.ui.controls import (
    Button,
    CheckBox,
    Choice,
    DateField,
    Field,
    FieldNote,
    FlowRow,
    Segment,
    Segments,
    TextColumn,
)
from app.ui.controls.drawing import px
from app.ui.hand_over.preview import CardPreview
from app.ui.hand_over.texts_dialog import TextsDialog
from app.ui.hand_over.words import part_words, tr
from app.ui.job import Job
from app.ui.said import Said
from app.ui.session import Session
from app.ui.words import date_format

_SIDE_PX, _BESIDE_PX = 300, 720
_PAPERS = ("A4", "Letter")


class Painted(NamedTuple):
    """A card with its place on paper and its picture."""

    card: HandOverCard
    paper: str
    fit: Fit
    image: QImage


class CardView(QWidget):
    """What a carer is given, shown at once as the choices change; printed, or saved as a file."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.painted: Painted | None = None
        self._dialog: TextsDialog | None = None
        self.job, self.doing = Job(self), Job(self)
        self.job.answered.connect(self._on_painted)
        self.job.failed.connect(session.tell_trouble)
        self.doing.answered.connect(lambda said: session.said.emit(Said(said, undo=False)))
        self.doing.failed.connect(session.tell_trouble)
        self._again = False
        self._build()

    @property
    def choice(self) -> CardChoice:
        """What is chosen."""
        first = self.first.date()
        return CardChoice(
            first=date(first.year(), first.month(), first.day()),
            days=int(str(self.days.value())),
            unit=Unit(str(self.unit.value())),
            parts=frozenset(part for part, box in self.boxes.items() if box.isChecked()),
        )

    def take_focus(self) -> None:
        """Go to the first choice."""
        self.first.setFocus()

    def begin(self) -> None:
        """Begin with the day that the pages speak of, and the unit of the person shown."""
        session = self.session
        day, person = session.day, session.person
        with QSignalBlocker(self.first), QSignalBlocker(self.unit):
            self.first.setDisplayFormat(date_format(person.date_order))
            self.first.setDate(QDate(day.year, day.month, day.day))
            self.unit.choose(person.unit)
        if self.painted is not None and self.painted.card.person != person:
            self.painted = None
            self.preview.show_nothing()
            self._turn(on=False)

    def refresh(self) -> None:
        """Make the card anew, off the GUI thread; what changes meanwhile makes one more."""
        if self.job.busy:
            self._again = True
        else:
            self._ask()

    def save_to(self, out: Path) -> None:
        """Write the card shown into a file, off the GUI thread."""
        assert self.painted is not None
        self.doing.start(partial(_written, self.painted.card, out, self.painted.paper))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        wide = event.size().width() >= px(_BESIDE_PX)
        self._both.setDirection(
            QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        )
        self._side.setMaximumWidth(px(_SIDE_PX) if wide else 16_777_215)

    def _build(self) -> None:
        today = QDate(2000, 1, 1)  # until somebody is shown
        self.first = DateField(today, self, order="d MMM yyyy", name=tr("First day of the grid"))
        self.days = Segments(
            [
                Segment(n, str(n), tr("{n} days").format(n=n) if n > 1 else tr("1 day"))
                for n in GRID_DAYS
            ],
            self,
            name=tr("Days of the grid"),
        )
        self.days.choose(USUAL_DAYS)
        self.unit = Choice([(unit.value, unit) for unit in Unit], self, name=tr("Unit"))
        self.paper = Choice([(name, name) for name in _PAPERS], self, name=tr("Paper"))
        self.boxes = {
            part: CheckBox(part_words(part), self, checked=part in USUAL_PARTS) for part in CardPart
        }
        self.save = Button(tr("Save as PDF…"), self, main=True)
        self.printing = Button(tr("Print…"), self)
        self.web = Button(tr("Save as web page…"), self)
        self.texts = Button(tr("Write texts and contacts…"), self)
        self.too_long = FieldNote(parent=self)
        self.preview = CardPreview(self)
        self._lay_out()
        self.first.dateChanged.connect(lambda _day: self.refresh())
        self.days.chosen.connect(lambda _n: self.refresh())
        self.unit.activated.connect(lambda _at: self.refresh())
        self.paper.activated.connect(lambda _at: self.refresh())
        for box in self.boxes.values():
            box.toggled.connect(lambda _on: self.refresh())
        self.preview.resized.connect(self.refresh)
        self.save.clicked.connect(partial(self._on_save, ".pdf"))
        self.web.clicked.connect(partial(self._on_save, ".html"))
        self.printing.clicked.connect(self._on_print)
        self.texts.clicked.connect(self._on_texts)
        self._turn(on=False)

    def _lay_out(self) -> None:
        self._side = QWidget(self)
        side = QVBoxLayout(self._side)
        side.setContentsMargins(0, 0, 0, 0)
        side.setSpacing(px(8))
        first = Field(tr("First day of the grid"), self.first, self._side)
        side.addWidget(first, 0, Qt.AlignmentFlag.AlignLeading)
        side.addWidget(Field(tr("Days of the grid"), self.days, self._side))
        paper = Field(tr("Paper"), self.paper)
        side.addWidget(FlowRow((Field(tr("Unit"), self.unit), paper), self._side, gap=12))
        boxes = QVBoxLayout()
        boxes.setSpacing(0)
        for box in self.boxes.values():
            boxes.addWidget(box)
        side.addLayout(boxes)
        side.addWidget(FlowRow((self.save, self.printing), self._side, gap=0))
        side.addWidget(FlowRow((self.texts, self.web), self._side, gap=0))
        side.addWidget(self.too_long)
        side.addWidget(
            TextColumn(
                tr(
                    "The card is half a page. It holds the least that a carer needs: no readings "
                    "but the last one, and only the texts chosen here."
                ),
                self._side,
                role=Role.SMALL,
                ink="ink3",
            )
        )
        side.addStretch(1)
        self._both = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._both.setContentsMargins(0, 0, 0, 0)
        self._both.setSpacing(px(24))
        self._both.addWidget(self._side)
        self._both.addWidget(self.preview, 1, Qt.AlignmentFlag.AlignTop)

    def _turn(self, *, on: bool) -> None:
        for button in (self.save, self.web, self.printing, self.texts):
            button.setEnabled(on)

    def _ask(self) -> None:
        session, self._again = self.session, False
        if not session.has_person or not self.isVisible():
            return
        paper = str(self.paper.value())
        pixels = self.preview.pixels(paper=paper)
        self.job.start(
            partial(_painted, session.diary, session.record, self.choice, paper, pixels, self._at())
        )

    def _at(self) -> datetime:
        """Now; where the pages speak of an earlier day, its end."""
        session = self.session
        if session.day >= session.today():
            return session.now()
        after = datetime.combine(session.day + timedelta(days=1), time(session.person.day_start))
        return after.replace(tzinfo=zone_named(session.person.zone)) - timedelta(seconds=1)

    def _on_painted(self, painted: Painted) -> None:
        if self._again:
            self._ask()
        if painted.card.person != self.session.person:
            return
        self.painted = painted
        self.preview.show_card(
            painted.image, _in_words(painted.card), paper=painted.paper, whole=painted.fit.whole
        )
        self.too_long.show_error(too_long_words(painted.fit))
        self._turn(on=True)

    def _on_save(self, ending: str, _checked: bool = False) -> None:
        places = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        name = tr("Hand-over-card") + ending
        chosen, _ = QFileDialog.getSaveFileName(
            self, tr("Save the card"), str(Path(places) / name), f"*{ending}"
        )
        if chosen:
            self.save_to(Path(chosen).with_suffix(ending))

    def _on_print(self) -> None:
        if self.painted is None:
            return
        try:
            print_card(self.painted.card, self.painted.paper, self)
        except DiaryError as trouble:
            self.session.tell_trouble(trouble)

    def _on_texts(self) -> None:
        if self.painted is None:
            return
        care = self.painted.card.care
        if self._dialog is None or self._dialog.person != self.session.person:
            if self._dialog is not None:
                self._dialog.deleteLater()
            self._dialog = TextsDialog(self.session, care, self.window())
            self._dialog.finished.connect(lambda _code: self.refresh())
        self._dialog.show_texts(care)
        self._dialog.open()


def _painted(
    diary: Diary, record: Record, choice: CardChoice, paper: str, pixels: QSize, now: datetime
) -> Painted:
    card = hand_over_card(diary, record, choice, now=now)
    fit = fit_of(card, size=paper)
    image = image_of(pixels, paper, partial(paint_card, card=card, size=paper, fit=fit))
    return Painted(card, paper, fit, image)


def _in_words(card: HandOverCard) -> str:
    said = card_said(card)
    parts = (f"{part.title}: {' '.join(part.paragraphs) or part.note}" for part in said.parts)
    days = ", ".join(said.days)
    return plain_of(". ".join((said.name, said.unit, *parts, days, *said.caution)))


def _written(card: HandOverCard, out: Path, paper: str) -> str:
    write_card(card, out, paper)
    return tr("The card was saved as {name}. Only you can read it.").format(name=out.name)
