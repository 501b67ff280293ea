"""The paper sheet when it is back: who wrote it, its boxes, what will be saved, and Save."""

from __future__ import annotations

from datetime import date, timedelta
from functools import partial
from uuid import UUID

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.errors import DiaryError
from app.domain.return_sheet import ReturnSheet, SheetCell, Understood
from app.ui.controls import Button, FieldNote, FlowRow
from app.ui.controls.drawing import px
from app.ui.gate import writes
from app.ui.hand_over.sheet_fields import Known, SheetFields, known_of
from app.ui.hand_over.sheet_grid import SheetGrid
from app.ui.hand_over.sheet_look import SheetLookBox
from app.ui.hand_over.sheet_model import SheetModel
from app.ui.hand_over.sheet_words import row_words, says
from app.ui.hand_over.words import tr
from app.ui.job import Job
from app.ui.patience import Patience
from app.ui.said import Said
from app.ui.session import Session
from app.work.return_sheet import SheetLook, SheetSaved, look_at_sheet, save_sheet
from app.work.sheet_cells import read_box

_SOON_MS = 120  # typing goes on: one look at the diary for what was typed meanwhile


class SheetView(QWidget):
    """Type, look, save. Nothing is saved while a box is not understood or a question is open.

    Signals: settled() when what is shown was looked at against the diary.
    """

    settled = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.look: SheetLook | None = None
        self._known: Known | None = None
        self._answers: dict[str, str] = {}
        self._person: UUID | None = None
        self.knowing, self.job = Job(self), Job(self)
        self._patience = Patience(self._on_saved, self._on_refused, self._on_waiting, self)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(_SOON_MS)
        self.fields = SheetFields(self)
        self.boxes = SheetModel(self._read, self._day_name, self._says)
        self.grid = SheetGrid(self.boxes, self)
        self.current = FieldNote("", self)
        self.shown = SheetLookBox(self)
        self.save = writes(Button(tr("Save the sheet"), self, main=True))
        self.clear = Button(tr("Empty the boxes"), self)
        self.trouble = FieldNote(parent=self)
        self._lay_out()
        self._connect()

    @property
    def is_settled(self) -> bool:
        """Whether what is shown speaks of what is typed now."""
        return not (self._soon.isActive() or self.job.busy or self.knowing.busy)

    @property
    def sheet(self) -> ReturnSheet:
        """The sheet as it is typed."""
        fields = self.fields
        return ReturnSheet(
            cells=self.boxes.cells(),
            keeper=fields.keeper.text(),
            place=fields.place.text() or None,
            unit=fields.chosen_unit,
            zone=self.session.person.zone,
            meter=fields.chosen_meter,
        )

    def take_focus(self) -> None:
        """Go to who wrote the sheet; with that said, into the grid."""
        (self.grid if self.fields.keeper.text().strip() else self.fields.keeper).setFocus()

    def begin(self) -> None:
        """Begin an empty sheet where another person is shown: the week that the pages speak of."""
        session = self.session
        if session.person.uid == self._person:
            return
        self._person = session.person.uid
        monday = session.day - timedelta(days=session.day.weekday())
        self.fields.begin(session.person, monday)
        self._answers, self.look, self._known = {}, None, None
        self.boxes.empty()
        self._show_days()
        self._show_look()

    def refresh(self) -> None:
        """Ask the diary anew what the sheet is typed against."""
        self.knowing.start(partial(known_of, self.session.diary, self.session.person))

    def submit(self) -> None:
        """Save the sheet, where nothing stands in the way."""
        if not self.save.isEnabled() or self._known is None:
            return
        session = self.session
        self._patience.do(
            partial(
                save_sheet,
                session.diary,
                session.person,
                self.sheet,
                now=session.now(),
                answers=dict(self._answers),
                usual=self._known.usual,
            )
        )

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(10))
        for part in (self.fields, self.grid, self.current, self.shown, self.trouble):
            column.addWidget(part)
        column.addWidget(FlowRow((self.save, self.clear), self, gap=8))
        column.addStretch(1)

    def _connect(self) -> None:
        self.knowing.answered.connect(self._on_known)
        self.knowing.failed.connect(self.session.tell_trouble)
        self.job.answered.connect(self._on_looked)
        self.job.failed.connect(self._on_not_looked)
        self._soon.timeout.connect(self._look)
        self.fields.changed.connect(self._on_typed)
        self.fields.days_changed.connect(self._show_days)
        self.fields.unit_changed.connect(self._on_unit)
        self.boxes.typed.connect(self._on_box)
        self.grid.looked_at.connect(self._on_current)
        self.grid.typing.connect(self._on_typing)
        self.grid.submitted.connect(self.submit)
        self.shown.answered.connect(self._on_answer)
        self.save.clicked.connect(self.submit)
        self.clear.clicked.connect(self._on_clear)

    # What is typed.

    def _read(self, cell: SheetCell) -> tuple[Understood, ...]:
        session, known = self.session, self._known
        usual = {} if known is None else known.usual
        person = session.person
        unit = self.fields.chosen_unit
        return read_box(cell, person, unit, person.zone, usual, now=session.now())

    def _says(self, each: Understood) -> str:
        return says(each, self.session.person)

    def _day_name(self, day: date) -> str:
        return row_words(day, self.session.person)

    def _show_days(self) -> None:
        self.boxes.show_days(self.fields.chosen_days)
        self._on_current()

    def _on_box(self, key: str) -> None:
        """What was answered was said of what stood in the box before."""
        self._answers = {
            each: word
            for each, word in self._answers.items()
            if each != key and not each.startswith(f"{key}/")
        }
        self._on_typed()

    def _on_unit(self) -> None:
        self._answers = {}
        self.boxes.read_anew()
        self._on_typed()

    def _on_typed(self) -> None:
        self.look = None
        self.trouble.clear_error()
        self.save.setEnabled(False)
        self._on_current()
        self._soon.start()

    def _on_typing(self, text: str) -> None:
        self.current.set_hint(self.boxes.sentence(self.grid.currentIndex(), typing=text))

    def _on_current(self) -> None:
        current = self.grid.currentIndex()
        self.current.set_hint(self.boxes.sentence(current) if current.isValid() else _hint())

    def _on_clear(self) -> None:
        self.boxes.empty()
        self._answers = {}
        self._on_typed()
        self.grid.setFocus()

    # What the diary says to it.

    def _on_known(self, known: Known) -> None:
        if known.person.uid != self.session.person.uid:
            return
        self._known = known
        self.fields.show_known(known)
        self.boxes.read_anew()
        self._on_typed()

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

    def _on_not_looked(self, trouble: BaseException) -> None:
        if not isinstance(trouble, DiaryError):
            raise trouble
        self.trouble.show_error(str(trouble))

    def _show_look(self) -> None:
        look = self.look
        asked = [each for each in look.looked if each.state == "asked"] if look else []
        self.boxes.show_asked({each.reading.key: each.why for each in asked})
        self.shown.show_look(look, self.session.person)
        missing = self._missing(look)
        self.trouble.set_hint(missing)
        self.save.setEnabled(not missing)
        self._on_current()

    def _missing(self, look: SheetLook | None) -> str:
        """What is still missing before the sheet can be saved; empty where nothing is."""
        if look is None or not look.seen:
            return tr("There is nothing to save yet.")
        if look.troubles:
            first = look.troubles[0]
            where = f"{self._day_name(first.day)}, {tr(first.slot.words)}"
            return tr("A box is not understood: {where}. {why}").format(where=where, why=first.why)
        if look.count("asked"):
            return tr("A question is open above.")
        if not self.fields.keeper.text().strip():
            return tr("Say who wrote the sheet.")
        if not look.count("new") and not look.count("one"):
            return tr("The diary has all of this sheet already.")
        return ""

    def _on_answer(self, key: str, word: str) -> None:
        self._answers[key] = word
        self.grid.setFocus()
        self._on_typed()

    # Saving.

    def _on_saved(self, saved: SheetSaved) -> None:
        if saved.written:
            self.boxes.empty()
            self._answers = {}
            self.session.changed(Said(saved.sentence))
            self.grid.setFocus()
        self._on_typed()

    def _on_refused(self, trouble: DiaryError) -> None:
        self._on_typed()  # what the diary has now may be other than what was looked at
        self.session.tell_trouble(trouble)

    def _on_waiting(self, waits: bool) -> None:
        self.save.setEnabled(not waits)


def _hint() -> str:
    return tr(
        "A box reads as the paper does: 7.2 12:10 crisps. Value, time, note; a second test behind "
        "a slash with spaces around it. Tab goes along the row, Enter down; Delete empties a box."
    )
