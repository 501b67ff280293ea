"""The paper sheet when it is back: who wrote it, its boxes, what will be saved, and Save."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial
from uuid import UUID

from PySide6.QtCore import QDate, QSignalBlocker, Qt, QTimer, Signal
from PySide6.QtWidgets import QCompleter, QVBoxLayout, QWidget

from app.domain.errors import DiaryError, Refused
from app.domain.glucose import Unit
from app.domain.kit import Kit
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.return_sheet import (
    ONE,
    TWO,
    CellReading,
    ReturnSheet,
    SheetCell,
    Understood,
)
from app.look.type import Role
from app.review.hand_over import GRID_DAYS, USUAL_DAYS
from app.store.diary import Diary
from app.store.kit_rows import kit_of
from app.store.named_ids import names_of
from app.ui.controls import (
    Answer,
    Button,
    Choice,
    DateField,
    Field,
    FieldNote,
    FlowRow,
    Label,
    LineField,
    SectionTitle,
    Segment,
    Segments,
    TextColumn,
    ToAnswer,
)
from app.ui.controls.drawing import px
from app.ui.gate import writes
from app.ui.hand_over.sheet_grid import SheetGrid
from app.ui.hand_over.sheet_model import SheetModel
from app.ui.hand_over.sheet_words import account_words, line_words, row_words, says
from app.ui.hand_over.words import tr
from app.ui.job import Job
from app.ui.patience import Patience
from app.ui.said import Said
from app.ui.session import Session
from app.ui.words import date_format
from app.work.kit_named import own_kit
from app.work.return_sheet import (
    Looked,
    SheetLook,
    SheetSaved,
    look_at_sheet,
    save_sheet,
    usual_minutes,
)
from app.work.sheet_cells import read_box

_SOON_MS = 120  # typing goes on: one look at the diary for what was typed meanwhile
_FIELD_PX = 150


@dataclass(frozen=True, slots=True)
class _Known:
    """What the diary knows that a sheet is typed against."""

    person: Person
    usual: Mapping[Mark, int]
    keepers: tuple[str, ...]
    places: tuple[str, ...]
    kit: Kit


class SheetView(QWidget):
    """Type, look, save. Nothing is saved while a box is not understood or a question is open.

    Signals: settled() when what is shown is looked at against the diary.
    """

    settled = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.look: SheetLook | None = None
        self._known: _Known | None = None
        self._kept: dict[UUID, SheetModel] = {}
        self._answers: dict[str, str] = {}
        self._person: UUID | None = None
        self._question: ToAnswer | None = None
        self._asking: str | None = None
        self.knowing, self.job = Job(self), Job(self)
        self.knowing.answered.connect(self._on_known)
        self.knowing.failed.connect(session.tell_trouble)
        self.job.answered.connect(self._on_looked)
        self.job.failed.connect(self._on_refused)
        self._patience = Patience(self._on_saved, self._on_refused, self._on_waiting, self)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(_SOON_MS)
        self._soon.timeout.connect(self._look)
        self._build()

    @property
    def sheet(self) -> ReturnSheet:
        """The sheet as it is typed."""
        meter = self.meter.value()
        return ReturnSheet(
            cells=self.boxes.cells(),
            keeper=self.keeper.text(),
            place=self.place.text() or None,
            unit=Unit(str(self.unit.value())),
            zone=self.session.person.zone,
            meter=None if meter is None else str(meter),
        )

    def take_focus(self) -> None:
        """Go to who wrote the sheet; with that said, into the grid."""
        (self.grid if self.keeper.text().strip() else self.keeper).setFocus()

    def begin(self) -> None:
        """Show the person's own sheet: the week of the day that the pages speak of."""
        session = self.session
        person = session.person
        if person.uid == self._person:
            return
        self._person = person.uid
        monday = session.day - timedelta(days=session.day.weekday())
        with QSignalBlocker(self.first), QSignalBlocker(self.unit):
            self.first.setDisplayFormat(date_format(person.date_order))
            self.first.setDate(QDate(monday.year, monday.month, monday.day))
            self.unit.choose(person.unit)
        self.keeper.clear()
        self.place.clear()
        self._answers, self.look, self._known = {}, None, None
        self.boxes.empty()
        self._show_days()
        self._show_look()

    def refresh(self) -> None:
        """Ask the diary anew what the sheet is typed against."""
        session = self.session
        self.knowing.start(partial(_known, session.diary, session.person))

    def submit(self) -> None:
        """Save the sheet, where nothing stands in the way."""
        if not self.save.isEnabled():
            return
        session, known = self.session, self._known
        self._patience.do(
            partial(
                save_sheet,
                session.diary,
                session.person,
                self.sheet,
                now=session.now(),
                answers=dict(self._answers),
                usual=None if known is None else known.usual,
            )
        )

    # How it is laid out.

    def _build(self) -> None:
        self.keeper = LineField(parent=self)
        self.place = LineField(parent=self)
        self.first = DateField(QDate(2000, 1, 1), self, order="d MMM yyyy", name=tr("First day"))
        self.days = Segments(
            [Segment(n, str(n), tr("{n} days").format(n=n)) for n in GRID_DAYS[1:]],
            self,
            name=tr("Days of the sheet"),
        )
        self.days.choose(USUAL_DAYS)
        self.unit = Choice([(unit.value, unit) for unit in Unit], self, name=tr("Unit"))
        self.meter = Choice([(tr("not said"), None)], self, name=tr("Meter"))
        self.boxes = SheetModel(self._read, self._day_name, self._says)
        self.grid = SheetGrid(self.boxes, self)
        self.current = FieldNote(self._hint(), self)
        self.title = SectionTitle(tr("What will be saved"), self)
        self.account = Label("", self, role=Role.SMALL, ink="ink2", wrap=True)
        self.lines = TextColumn("", self)
        self.lines.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.lines.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.save = writes(Button(tr("Save the sheet"), self, main=True))
        self.clear = Button(tr("Empty the boxes"), self)
        self.trouble = FieldNote(parent=self)
        self._lay_out()
        for field in (self.keeper, self.place):
            field.setFixedWidth(px(_FIELD_PX))
            field.textEdited.connect(self._on_typed)
        self.first.dateChanged.connect(lambda _day: self._show_days())
        self.days.chosen.connect(lambda _n: self._show_days())
        self.unit.activated.connect(lambda _at: self._on_unit())
        self.meter.activated.connect(lambda _at: self._on_typed())
        self.boxes.typed.connect(self._on_typed)
        self.grid.looked_at.connect(self._on_current)
        self.grid.typing.connect(self._on_typing)
        self.grid.submitted.connect(self.submit)
        self.save.clicked.connect(self.submit)
        self.clear.clicked.connect(self._on_clear)

    def _lay_out(self) -> None:
        fields = [
            Field(label, control)
            for label, control in (
                (tr("Who wrote it"), self.keeper),
                (tr("Where"), self.place),
                (tr("First day"), self.first),
                (tr("Days"), self.days),
                (tr("Unit of the sheet"), self.unit),
                (tr("Meter"), self.meter),
            )
        ]
        self._asked_place = QVBoxLayout()
        self._asked_place.setContentsMargins(0, 0, 0, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(10))
        column.addWidget(FlowRow(fields, self, gap=12))
        column.addWidget(self.grid)
        column.addWidget(self.current)
        column.addWidget(self.title)
        column.addWidget(self.account)
        column.addLayout(self._asked_place)
        column.addWidget(self.lines)
        column.addWidget(self.trouble)
        column.addWidget(FlowRow((self.save, self.clear), self, gap=8))
        column.addStretch(1)

    # What is typed.

    def _read(self, cell: SheetCell) -> tuple[Understood, ...]:
        session, known = self.session, self._known
        usual = {} if known is None else known.usual
        person = session.person
        unit = Unit(str(self.unit.value()))
        return read_box(cell, person, unit, person.zone, usual, now=session.now())

    def _says(self, each: Understood) -> str:
        return says(each, self.session.person)

    def _day_name(self, day: date) -> str:
        return row_words(day, self.session.person)

    def _show_days(self) -> None:
        first = self.first.date()
        start = date(first.year(), first.month(), first.day())
        count = int(str(self.days.value()))
        self.boxes.show_days([start + timedelta(days=at) for at in range(count)])
        self._on_current()

    def _on_unit(self) -> None:
        self.boxes.read_anew()
        self._on_typed()

    def _on_typed(self, _text: str = "") -> None:
        self.trouble.clear_error()
        self.look = None
        self.save.setEnabled(False)
        self._on_current()
        self._soon.start()

    def _on_typing(self, text: str) -> None:
        self._say_box(self.boxes.sentence(self.grid.currentIndex(), typing=text))

    def _on_current(self) -> None:
        self._say_box(self.boxes.sentence(self.grid.currentIndex()))

    def _say_box(self, sentence: str) -> None:
        self.current.set_hint(sentence or self._hint())

    def _hint(self) -> str:
        return tr(
            "A box reads as the paper does: 7.2 12:10 crisps. Value, time, note; a second test "
            "behind a slash with spaces around it. Tab goes along the row, Enter down; Delete "
            "empties a box."
        )

    def _on_clear(self) -> None:
        self.boxes.empty()
        self._answers = {}
        self._on_typed()
        self.grid.setFocus()

    # What the diary says to it.

    def _on_known(self, known: _Known) -> None:
        if known.person != self.session.person:
            return
        self._known = known
        for field, names in ((self.keeper, known.keepers), (self.place, known.places)):
            completer = QCompleter(list(names), field)
            completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
            completer.popup().setObjectName("popup")
            field.setCompleter(completer)
        chosen = self.meter.value()
        self.meter.clear()
        self.meter.addItem(tr("not said"), None)
        for meter in known.kit.meters:
            self.meter.addItem(meter.name, f"#{meter.id}")
        if chosen in [self.meter.itemData(at) for at in range(self.meter.count())]:
            self.meter.choose(chosen)
        self.boxes.read_anew()
        self._soon.start()

    def _look(self) -> None:
        session, known = self.session, self._known
        if not session.has_person or known is None:
            return
        self.job.start(
            partial(
                look_at_sheet,
                session.diary,
                session.person,
                self.sheet,
                now=session.now(),
                answers=dict(self._answers),
                usual=known.usual,
            )
        )

    def _on_looked(self, look: SheetLook) -> None:
        if self._soon.isActive():  # something was typed since
            return
        self.look = look
        keys = {each.reading.key for each in look.looked if each.there is not None}
        self._answers = {key: word for key, word in self._answers.items() if key in keys}
        self._show_look()
        self.settled.emit()

    def _on_refused(self, trouble: BaseException) -> None:
        if not isinstance(trouble, DiaryError):
            raise trouble
        self._soon.start()  # what the diary has now may be other than what was looked at
        self.trouble.show_error(str(trouble))
        if not isinstance(trouble, Refused):
            self.session.tell_trouble(trouble)

    def _show_look(self) -> None:
        look, person = self.look, self.session.person
        asked = [each for each in look.looked if each.state == "asked"] if look else []
        self.boxes.show_asked({each.reading.key: each.why for each in asked})
        self.account.setText(account_words(look) if look else tr("Nothing is typed yet."))
        lines = [line_words(each, person) for each in look.looked] if look else []
        self.lines.setText("\n".join(lines))
        self.lines.setVisible(bool(lines))
        self._ask(asked[0] if asked else None)
        missing = self._missing(look)
        self.current_reason = missing
        self.trouble.set_hint(missing)
        self.save.setEnabled(not missing)
        self._on_current()

    def _missing(self, look: SheetLook | None) -> str:
        """What is still missing before the sheet can be saved; empty where nothing is."""
        if look is None or not look.seen:
            return tr("Nothing to save yet.")
        if look.troubles:
            first = look.troubles[0]
            where = f"{self._day_name(first.day)}, {tr(first.slot.words)}"
            return tr("A box is not understood: {where}. {why}").format(where=where, why=first.why)
        if look.count("asked"):
            return tr("A question is open above.")
        if not self.keeper.text().strip():
            return tr("Say who wrote the sheet.")
        if not look.count("new") and not look.count("one"):
            return tr("The diary has all of this sheet already.")
        return ""

    def _ask(self, asked: Looked | None) -> None:
        """Ask whether a box is one with a reading of the diary; one question at a time."""
        key = None if asked is None else asked.reading.key
        if key == self._asking:
            return
        had_focus = self._question is not None and self._question.isAncestorOf(
            self.focusWidget() or self
        )
        if self._question is not None:
            self._question.hide()
            self._question.deleteLater()
            self._question = None
        self._asking = key
        if asked is None:
            if had_focus:
                self.grid.setFocus()
            return
        self._question = ToAnswer(
            asked.why,
            [
                Answer(ONE, tr("It is one"), tr("the diary keeps it once")),
                Answer(TWO, tr("They are two"), tr("both are kept")),
            ],
            self,
            lead=f"{self._day_name(asked.reading.day)}, {tr(asked.reading.slot.words)}:",
        )
        self._question.answered.connect(partial(self._on_answer, asked.reading.key))
        self._asked_place.addWidget(self._question)
        if had_focus:
            self._question.setFocus()

    def _on_answer(self, key: str, word: str) -> None:
        self._answers[key] = word
        self._on_typed()

    # Saving.

    def _on_saved(self, saved: SheetSaved) -> None:
        if not saved.written:
            self._soon.start()
            return
        self.boxes.empty()
        self._answers, self.look = {}, None
        self._show_look()
        self.session.changed(Said(saved.sentence))
        self.grid.setFocus()

    def _on_waiting(self, waits: bool) -> None:
        self.save.setEnabled(not waits)


def _known(diary: Diary, person: Person) -> _Known:
    return _Known(
        person=person,
        usual=usual_minutes(diary, person),
        keepers=tuple(names_of(diary, person, "keeper").values()),
        places=tuple(names_of(diary, person, "place").values()),
        kit=own_kit(kit_of(diary), person),
    )


def is_reading(each: Understood) -> bool:
    """Whether a box's part was understood."""
    return isinstance(each, CellReading)
