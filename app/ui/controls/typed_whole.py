"""A date or a time that is typed or pasted over the whole of its field, in any usual way."""

from __future__ import annotations

from abc import abstractmethod
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QFocusEvent, QGuiApplication, QKeyEvent, QKeySequence, QValidator
from PySide6.QtWidgets import QToolTip

if TYPE_CHECKING:
    from PySide6.QtWidgets import QDateTimeEdit

    _Field = QDateTimeEdit
else:
    _Field = object

_TAKING = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Up, Qt.Key.Key_Down)


class TypedWhole(_Field):
    """Lets a field of parts take a text in place of them all; Qt's own drops every key of it.

    It begins where everything is selected, is read when the field is left, with Enter or with an
    arrow key, and Escape takes it back. What can't be read is said, and what stood there stays.
    """

    _typing_whole = False
    _before = ""

    @abstractmethod
    def read_whole(self, text: str) -> bool:
        """Take what a text says; whether it could be read."""

    @abstractmethod
    def unread_words(self, text: str) -> str:
        """Why a text could not be read, and what stands instead."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self._typing_whole and not self._begins(event):
            super().keyPressEvent(event)
        elif event.key() == Qt.Key.Key_Escape:
            self._end()
            event.accept()
        elif event.key() in _TAKING:
            self.settle()
            super().keyPressEvent(event)
        else:
            self.lineEdit().event(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self.settle()
        super().focusOutEvent(event)

    def validate(self, text: str, at: int) -> tuple[QValidator.State, str, int]:
        if self._typing_whole:
            return QValidator.State.Intermediate, text, at
        return super().validate(text, at)

    def settle(self) -> None:
        """Read what was typed over the whole field, if anything was."""
        if not self._typing_whole:
            return
        typed = self.lineEdit().text()
        self._end()
        if typed.strip() and not self.read_whole(typed):
            QToolTip.showText(
                self.mapToGlobal(QPoint(0, self.height())), self.unread_words(typed), self
            )

    def _begins(self, event: QKeyEvent) -> bool:
        """Whether a key puts something in place of all that stands there."""
        line = self.lineEdit()
        whole = line.selectedText() == line.text()
        pastes = event.matches(QKeySequence.StandardKey.Paste)
        types = len(event.text()) == 1 and event.text().isprintable() and event.text().strip()
        empties = event.key() in (Qt.Key.Key_Backspace, Qt.Key.Key_Delete)
        if pastes:
            pastes = bool(QGuiApplication.clipboard().text().strip())
        if pastes and not whole:
            line.selectAll()
        elif not (whole and (pastes or types or empties)):
            return False
        self._before, self._typing_whole = line.text(), True
        line.blockSignals(True)  # Qt's field would put its parts back where the cursor moves
        return True

    def _end(self) -> None:
        """Show what stood there before."""
        self.lineEdit().setText(self._before)
        self.lineEdit().blockSignals(False)
        self._typing_whole = False
