"""The line that a reading is typed into."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QWidget

from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.ui.controls import LineField


class EntryLine(LineField):
    """A tall line. Enter, Esc and Down are told; Esc on an empty line is left to the window.

    Signals: submitted(), cleared(), answer_wanted() for Down, textChanged(str).
    """

    submitted = Signal()
    cleared = Signal()
    answer_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent=parent, tall=True, name=self.tr("Type a reading"))
        self.setClearButtonEnabled(False)
        self._begun = ""  # what was put into it for the person, and is not typed yet

    @property
    def is_typed(self) -> bool:
        """Whether there is something to read; a mark alone still waits for its number."""
        return bool(self.text().strip()) and self.text() != self._begun

    def begin_with(self, mark: Mark | None) -> None:
        """Put a mark into the line, and the cursor before it: the number is to be typed."""
        self._begun = "" if mark is None or mark is Mark.NONE else f" {mark.words}"
        self.setText(self._begun)
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        self.setCursorPosition(0)

    def show_example(self, unit: Unit) -> None:
        """Show in grey what can be typed, in the unit of the person."""
        example = self.tr("112 fasting") if unit is Unit.MG_DL else self.tr("7.2 before lunch")
        self.setPlaceholderText(example)

    def event(self, event: QEvent) -> bool:
        # A line keeps Ctrl+Z for itself, even one that holds nothing: then it is the diary's.
        if (
            event.type() is QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and self._is_the_diarys(event)
        ):
            event.ignore()
            return False
        return super().event(event)

    def _is_the_diarys(self, event: QKeyEvent) -> bool:
        """Whether to undo or redo is nothing that this line could do."""
        undo = event.matches(QKeySequence.StandardKey.Undo)
        redo = event.matches(QKeySequence.StandardKey.Redo)
        return (undo and not self.isUndoAvailable()) or (redo and not self.isRedoAvailable())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.submitted.emit()
        elif key == Qt.Key.Key_Down:
            self.answer_wanted.emit()
        elif key == Qt.Key.Key_Escape and self.text() and not self.isReadOnly():
            self.clear()
            self.cleared.emit()
        elif key == Qt.Key.Key_Escape:
            event.ignore()
        else:
            super().keyPressEvent(event)
