"""What every form of this window has in common: fields below each other, and what they ask for."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Iterable
from datetime import datetime

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from app.domain.person import Person
from app.ui.controls import Choice, Field, LineField
from app.ui.controls.drawing import px
from app.ui.write_down.saving import Asked, Done
from app.ui.write_down.times import WhenField
from app.ui.write_down.words import tr


class Form(QWidget):
    """Fields of one kind of record. Signals: changed() after every answer."""

    changed = Signal()

    def __init__(self, person: Person, now: datetime, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.when = WhenField(person, now)
        self.when.changed.connect(self.changed)
        self.value: LineField | None = None  # the field that a question about a value is about
        self.keeper: LineField | None = None  # who wrote it, where that is kept beside it
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(px(8))
        self._first: QWidget | None = None

    @abstractmethod
    def call(self) -> Callable[[Asked], Done]:
        """What is to be done, with the values that stand in the fields just now."""

    def take_focus(self) -> None:
        """Go to the first field."""
        if self._first is not None:
            self._first.setFocus()

    def show_writer(self, name: str | None) -> None:
        """Name who writes here, as long as nobody else is named."""
        if self.keeper is not None and not self.keeper.isModified():
            self.keeper.setText(name or "")

    def take_answer(self, answer: str, *, value: bool) -> None:
        """Put the answer to a question in place of what was typed."""
        if value and self.value is not None:
            self.value.setText(answer.strip('"'))
        elif not value:
            self.when.take(answer)

    def add(self, label: str, control: QWidget, *, hint: str = "") -> Field:
        """Add a field below the others; the first one gets the focus."""
        field = Field(label, control, self, hint=hint)
        self._column.addWidget(field)
        self._first = self._first or control
        if isinstance(control, LineField):
            control.textEdited.connect(self.changed)
        elif isinstance(control, Choice):
            control.activated.connect(self.changed)
        return field

    def add_bare(self, control: QWidget) -> None:
        """Add a control that says itself what it is."""
        self._column.addWidget(control)

    @property
    def last_control(self) -> QWidget:
        """The last control that Tab comes to."""
        return next(
            each
            for each in reversed(self.findChildren(QWidget))
            if each.focusPolicy() & Qt.FocusPolicy.TabFocus and each.focusProxy() is None
        )


def wide_choice(choices: Iterable[tuple[str, str]], name: str) -> Choice:
    """A choice as wide as its place, of codes and the words for them."""
    made = Choice([(tr(words), code) for code, words in choices], name=name)
    made.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
    return made
