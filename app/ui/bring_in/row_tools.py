"""What can be said of the row that is selected, where the file asks nothing about it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

from app.exchange.file_read import ReadingRow
from app.ui.bring_in.words import is_not_mine, tr
from app.ui.controls import Button, FlowRow, Label
from app.ui.words import count_words
from app.work.picked import NEW, RowLine
from app.work.row_answers import CONTROL, LEAVE_OUT, NOT_MINE

AS_IT_WAS = ""  # takes back what was said of a row


class RowTools(FlowRow):
    """The line that is selected and its answers. Signals: said(line, word).

    The keys work in the table, whose menu of the row holds the same.
    """

    said = Signal(int, str)

    def __init__(self, table: QWidget, parent: QWidget | None = None) -> None:
        self._line = 0
        self._label = Label("", ink="ink2")
        self._buttons: dict[str, Button] = {}
        self._actions: dict[str, QAction] = {}
        for word, text, keys in (
            (NOT_MINE, tr("Not mine"), "Ctrl+Shift+N"),
            (CONTROL, tr("A control test"), "Ctrl+T"),
            (LEAVE_OUT, tr("Refuse the row"), "Del"),
            (AS_IT_WAS, tr("As it was"), "Ctrl+Shift+C"),
        ):
            self._buttons[word] = Button(text, size="bar")
            action = self._actions[word] = QAction(text, table)
            action.setShortcut(QKeySequence(keys))
            action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
            table.addAction(action)
        super().__init__([self._label, *self._buttons.values()], parent, gap=4)
        table.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        for button in self._buttons.values():
            button.clicked.connect(self._on_button)
        for action in self._actions.values():
            action.triggered.connect(self._on_action)
        self.show_row(None, was_said=False, of_meter=False)

    def show_row(self, line: RowLine | None, *, was_said: bool, of_meter: bool) -> None:
        """Offer what fits a row; a control test needs a meter that it was made with."""
        offered: set[str] = set()
        if line is not None and was_said:
            offered.add(AS_IT_WAS)
        if line is not None and line.result == NEW and isinstance(line.row, ReadingRow):
            offered |= {NOT_MINE, LEAVE_OUT} | ({CONTROL} if of_meter else set())
            if is_not_mine(line.row):
                offered.discard(NOT_MINE)
        self._line = 0 if line is None else line.line
        self._label.setText(tr("Line {n}:").format(n=count_words(self._line)))
        for word, button in self._buttons.items():
            button.setVisible(word in offered)
            self._actions[word].setEnabled(word in offered)
        self.setVisible(bool(offered))
        self.settle()

    def _on_button(self) -> None:
        self._say(next(word for word, each in self._buttons.items() if each is self.sender()))

    def _on_action(self) -> None:
        self._say(next(word for word, each in self._actions.items() if each is self.sender()))

    def _say(self, word: str) -> None:
        self.said.emit(self._line, word)
