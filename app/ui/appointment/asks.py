"""What to ask at the next visit: a line to write in, and the open questions to tick off."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.look.type import Role
from app.store.asks import Ask
from app.ui.appointment.words import tr
from app.ui.controls import Button, LineField, SectionTitle, TextColumn
from app.ui.controls.drawing import px
from app.ui.gate import writes

MOST = 5


class AskList(QWidget):
    """Signals: written(str), ticked(int) with the number of an open question, counted from 1."""

    written = Signal(str)
    ticked = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.title = SectionTitle(tr("To ask"), self, note=tr("the first five stand on the sheet"))
        self.line = writes(
            LineField(
                parent=self,
                placeholder=tr("Write a question, Enter keeps it"),
                name=tr("A question for the visit"),
            )
        )
        self.line.returnPressed.connect(self._on_written)
        self.empty = TextColumn(
            tr("Nothing yet. Two minutes go by quickly: one or two questions are enough."),
            self,
            role=Role.SMALL,
            ink="ink2",
        )
        self._rows = QVBoxLayout()
        self._rows.setSpacing(px(4))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(6))
        column.addWidget(self.title)
        column.addWidget(self.line)
        column.addWidget(self.empty)
        column.addLayout(self._rows)
        self.buttons: list[Button] = []

    def show_asks(self, asks: Sequence[Ask]) -> None:
        """Show the open questions in their order."""
        while (item := self._rows.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.buttons = []
        for at, ask in enumerate(asks, 1):
            self._rows.addWidget(self._row(at, ask))
        self.title.set_count(len(asks) or None)
        self.empty.setVisible(not asks)

    def _row(self, number: int, ask: Ask) -> QWidget:
        row = QWidget(self)
        box = QHBoxLayout(row)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(px(8))
        text = TextColumn(f"{number}  {ask.text}", row)
        asked = writes(
            Button(tr("Asked"), row, size="bar", name=tr("Asked: {text}").format(text=ask.text))
        )
        asked.clicked.connect(lambda _on=False, number=number: self.ticked.emit(number))
        self.buttons.append(asked)
        box.addWidget(text, 1)
        box.addWidget(asked, 0, Qt.AlignmentFlag.AlignTop)
        return row

    def _on_written(self) -> None:
        if self.line.text().strip():
            self.written.emit(self.line.text())
