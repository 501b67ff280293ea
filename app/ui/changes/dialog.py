"""What the windows about changes have in common: a list, its errands, a question, a last line."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Protocol

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from app.domain.errors import DiaryError
from app.domain.person import Person
from app.look.type import Role
from app.ui.changes.words import tr
from app.ui.controls import Answer, Button, FieldNote, ToAnswer, WrapLabel
from app.ui.controls.drawing import RESERVE, px
from app.ui.safety.errands import Errands
from app.ui.said import Said
from app.ui.session import Session


class Sentence(Protocol):
    """What was done, in the past tense."""

    @property
    def sentence(self) -> str:
        """The sentence."""


class ChangesDialog(QDialog):
    """A title, quiet words, whatever is put between, a row of buttons and what came of them.

    While something is asked, Esc leaves everything as it is and the window stays.

    Parameters
    ----------
    errands : Errands
        What runs off the GUI thread; it outlives this window.
    """

    def __init__(self, title: str, session: Session, errands: Errands, parent: QWidget) -> None:
        super().__init__(parent)
        self.session = session
        self._errands, self._shut = errands, False
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.title = WrapLabel(title, self, role=Role.TITLE)
        self.about = WrapLabel("", self, role=Role.SMALL, ink="ink2")
        self.note = FieldNote(parent=self)
        self.question: ToAnswer | None = None
        self._answered: Callable[[str], object] = _nothing
        self._column = QVBoxLayout(self)
        self._place = QVBoxLayout()

    def run(
        self,
        call: Callable[[], object],
        then: Callable[[Any], object],
        on_trouble: Callable[[DiaryError], object] | None = None,
    ) -> None:
        """Do something off the GUI thread; nothing is told to a window that was closed."""
        or_else = on_trouble or self.tell_trouble

        def told(found: object) -> None:
            if not self._shut:
                then(found)

        def failed(trouble: DiaryError) -> None:
            if not self._shut:
                or_else(trouble)

        self._errands.run(call, told, failed)

    def change(
        self,
        call: Callable[[], Sentence],
        then: Callable[[Any], object],
        on_trouble: Callable[[DiaryError], object] | None = None,
        *,
        undo: bool = False,
    ) -> None:
        """Change the diary off the GUI thread; the main window is told, this one while it is there.

        Parameters
        ----------
        undo : bool, default False
            Whether the notice of the main window offers to take it back.
        """
        session = self.session

        def told(done: Sentence) -> None:
            session.changed(Said(done.sentence, undo=undo))
            if not self._shut:
                then(done)

        def failed(trouble: DiaryError) -> None:
            if self._shut:
                session.tell_trouble(trouble)
            else:
                (on_trouble or self.tell_trouble)(trouble)

        self._errands.run(call, told, failed)

    @property
    def shown(self) -> Person | None:
        """The person whom the window shows."""
        return self.session.person if self.session.has_person else None

    def tell_trouble(self, trouble: DiaryError) -> None:
        """Say what went wrong."""
        self.note.show_error(str(trouble))

    def say(self, sentence: str) -> None:
        """Say what was done or is under way."""
        self.note.clear_error()
        self.note.set_hint(sentence)

    def ask(
        self, sentence: str, answers: Sequence[Answer], answered: Callable[[str], object]
    ) -> None:
        """Ask something below the list; an empty answer is Esc: nothing is done."""
        self.drop_question()
        self.say("")
        self._answered = answered
        self.question = ToAnswer(sentence, answers, self)
        self.question.answered.connect(self._on_answer)
        self._place.addWidget(self.question)
        self.question.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def drop_question(self) -> None:
        """Ask no longer."""
        if self.question is not None:
            self.question.hide()
            self.question.deleteLater()
            self.question = None

    def back_to_list(self) -> None:
        """Where the focus goes once a question is answered."""

    def may_write(self, *buttons: Button) -> bool:
        """Whether the diary can be written; where it can't, buttons are off and say why."""
        why = self.session.why_not
        for each in buttons if why else ():
            each.setEnabled(False)
            each.setToolTip(why)
        return not why

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.question is not None:
            self._on_answer("")
        else:
            super().keyPressEvent(event)

    def done(self, result: int) -> None:
        self._shut = True  # what is under way goes on; nobody is here to be told
        super().done(result)

    def press(self, keys: Sequence[str], does: Callable[[], object]) -> None:
        """Let keys do something anywhere in this window."""
        for each in keys:
            QShortcut(QKeySequence(each), self).activated.connect(does)

    def grow(self) -> None:
        """Be as high as all the words need at this width."""
        layout = self.layout()
        if layout is not None:
            self.resize(self.width(), max(self.height(), layout.totalHeightForWidth(self.width())))

    def lay_out(
        self,
        middle: Sequence[QWidget],
        buttons: Sequence[QWidget],
        *,
        grows: bool = True,
        aside: QWidget | None = None,
        main: QWidget | None = None,
        closes: str = "",
    ) -> None:
        """Put everything in its place.

        Parameters
        ----------
        grows : bool, default True
            The first widget of the middle takes the room there is.
        aside : QWidget, optional
            At the far end of the title.
        main : QWidget, optional
            The one main button, after the one that closes.
        closes : str
            What the button that closes says, where that is not "Close".
        """
        self.closes = Button(closes or tr("Close"), self)
        self.closes.clicked.connect(self.accept)
        column = self._column
        column.setContentsMargins(px(24), px(20), px(24), px(16))
        column.setSpacing(px(8))
        head = QHBoxLayout()
        head.setContentsMargins(RESERVE, 0, RESERVE, 0)
        head.addWidget(self.title, 1)
        if aside is not None:
            head.addWidget(aside)
        column.addLayout(head)
        column.addLayout(_inset(self.about))
        for at, each in enumerate(middle):
            column.addWidget(each, 1 if grows and not at else 0)
        column.addStretch()  # takes what no widget of the middle takes
        column.addLayout(self._place)
        row = QHBoxLayout()
        row.setSpacing(px(4))
        for button in buttons:
            row.addWidget(button)
        row.addStretch(1)
        row.addWidget(self.closes)
        if main is not None:
            row.addWidget(main)
        column.addLayout(row)
        column.addLayout(_inset(self.note))

    def _on_answer(self, key: str) -> None:
        self.drop_question()
        self.back_to_list()
        self._answered(key)


def _inset(words: QWidget) -> QVBoxLayout:
    """A text in line with the edges of the buttons."""
    column = QVBoxLayout()
    column.setContentsMargins(RESERVE, 0, RESERVE, 0)
    column.addWidget(words)
    return column


def _nothing(_: object) -> None:
    return None
