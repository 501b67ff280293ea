"""What will be saved of a paper sheet: the account, one question at a time, and every line."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.person import Person
from app.domain.return_sheet import ONE, TWO
from app.look.type import Role
from app.ui.controls import Answer, Label, SectionTitle, TextColumn, ToAnswer
from app.ui.controls.drawing import px
from app.ui.hand_over.sheet_words import account_words, line_words, row_words
from app.ui.hand_over.words import tr
from app.work.return_sheet import Looked, SheetLook


class SheetLookBox(QWidget):
    """The look before the save. Signals: answered(str, str) with a key and "one" or "two"."""

    answered = Signal(str, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.question: ToAnswer | None = None
        self._asking: tuple[str, str] | None = None
        self.title = SectionTitle(tr("What will be saved"), self)
        self.account = Label("", self, role=Role.SMALL, ink="ink2", wrap=True)
        self.lines = TextColumn("", self)
        self.lines.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._asked_place = QVBoxLayout()
        self._asked_place.setContentsMargins(0, 0, 0, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(8))
        column.addWidget(self.title)
        column.addWidget(self.account)
        column.addLayout(self._asked_place)
        column.addWidget(self.lines)

    def show_look(self, look: SheetLook | None, person: Person) -> None:
        """Show what was found; None while it is not looked at yet."""
        is_empty = look is None or not look.seen
        self.account.setText(
            tr("Nothing is typed yet.") if look is None or is_empty else account_words(look)
        )
        looked = () if look is None else look.looked
        self.lines.setText("\n".join(line_words(each, person) for each in looked))
        self.lines.setVisible(bool(looked))
        self._ask(next((each for each in looked if each.state == "asked"), None), person)

    def _ask(self, asked: Looked | None, person: Person) -> None:
        """Ask whether a box is one with a reading of the diary; one question at a time."""
        asking = None if asked is None else (asked.reading.key, asked.why)
        if asking == self._asking:
            return
        self._asking = asking
        if self.question is not None:
            self.question.hide()
            self.question.deleteLater()
            self.question = None
        if asked is None:
            return
        reading = asked.reading
        self.question = ToAnswer(
            asked.why,
            [
                Answer(ONE, tr("It is one"), tr("the diary keeps it once")),
                Answer(TWO, tr("They are two"), tr("both are kept")),
            ],
            self,
            lead=f"{row_words(reading.day, person)}, {tr(reading.slot.words)}:",
        )
        self.question.answered.connect(partial(self.answered.emit, reading.key))
        self._asked_place.addWidget(self.question)
