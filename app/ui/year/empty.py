"""What the page says before there is any reading: what is not there, and one way on."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.look.type import Role
from app.ui.controls import Button, Label, TextColumn
from app.ui.controls.drawing import px
from app.ui.year.words import tr


class EmptyYear(QWidget):
    """Signals: line_asked(), the entry line is wanted."""

    line_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.button = Button(tr("Go to the line"), self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, px(16), 0, px(8))
        column.setSpacing(px(8))
        column.addWidget(Label(tr("No readings yet (n 0)"), self, role=Role.EMPTY, wrap=True))
        column.addWidget(
            TextColumn(
                tr(
                    "A year sets the months beside each other, slot by slot, so that a slow change "
                    "is seen. It draws every reading from the first on, a median from 5 in a slot "
                    "and month, and leaves months with none of them open."
                ),
                self,
                ink="ink2",
            )
        )
        column.addWidget(self.button, 0, Qt.AlignmentFlag.AlignLeading)
        self.button.clicked.connect(self.line_asked)
