"""In the place of the pages where the diary can't be shown: why, and what can be done."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from app.look.type import Role
from app.store.backup_facts import BackupFacts
from app.ui.controls import Answer, Button, Hairline, Label, TextColumn
from app.ui.controls.drawing import RESERVE, px
from app.ui.controls.scrolled import card_in_the_middle
from app.ui.safety.words import backup_words, tr

_WIDE = 690
_MOST = 6  # backups that are listed here; the rest lie beside them


class Blocked(QWidget):
    """A card. Signals: answered(str) the key of a choice, restore_asked(Path) a backup.

    Parameters
    ----------
    backups : sequence of BackupFacts
        The newest first; each is a choice of its own.
    answers : sequence of Answer
        The other choices; none is chosen beforehand.
    """

    answered = Signal(str)
    restore_asked = Signal(object)

    def __init__(
        self,
        title: str,
        sentence: str,
        answers: Sequence[Answer],
        parent: QWidget | None = None,
        *,
        backups: Sequence[BackupFacts] = (),
    ) -> None:
        super().__init__(parent)
        self.sentence = sentence
        self.setObjectName("ground")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setAccessibleName(f"{title}. {sentence}")
        self.buttons: dict[str, Button] = {}
        card = QFrame(self)
        card.setObjectName("card")
        card.setFixedWidth(px(_WIDE))
        column = QVBoxLayout(card)
        column.setContentsMargins(px(48), px(36), px(48), px(30))
        column.setSpacing(px(12))
        self._words = TextColumn(sentence, card)
        for words in (Label(title, card, role=Role.TITLE), self._words):
            words.setContentsMargins(RESERVE, 0, RESERVE, 0)
            column.addWidget(words)
        if backups:
            column.addWidget(Hairline(card))
            column.addLayout(self._backups(backups, card))
        self._choices(answers, card, column)
        card_in_the_middle(card, self)

    def take_focus(self) -> None:
        """Put the focus where Tab leads to the first choice: none is chosen beforehand."""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFocus()

    def reword(self, sentence: str) -> None:
        """Say otherwise what is so; the focus stays where it is."""
        self.sentence = sentence
        self._words.setText(sentence)

    def _backups(self, backups: Sequence[BackupFacts], card: QWidget) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setSpacing(0)
        title = Label(tr("Put a checked backup in its place"), card, role=Role.SECTION)
        title.setContentsMargins(RESERVE, 0, RESERVE, px(4))  # in line with the boxes
        column.addWidget(title)
        for each in backups[:_MOST]:
            button = Button(backup_words(each), card, wide=True, hint=tr("restore"))
            button.clicked.connect(partial(self.restore_asked.emit, each.path))
            self.buttons[str(each.path)] = button
            column.addWidget(button)
        return column

    def _choices(self, answers: Sequence[Answer], card: QWidget, column: QVBoxLayout) -> None:
        if not answers:
            return
        column.addWidget(Hairline(card))
        row = QHBoxLayout()
        row.setSpacing(4)
        for answer in answers:
            button = Button(answer.text, card)
            button.clicked.connect(partial(self.answered.emit, answer.key))
            self.buttons[answer.key] = button
            row.addWidget(button)
        row.addStretch(1)
        column.addLayout(row)
