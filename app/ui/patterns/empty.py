"""What the page says where there is nothing to look through: what is not there, and one way on."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.look.type import Role
from app.review.patterns_shown import PatternsShown
from app.ui.controls import Button, Label, TextColumn
from app.ui.controls.drawing import px
from app.ui.patterns.words import tr
from app.ui.session import DEFAULT_DAYS
from app.ui.words import count_words, day_words


class EmptyPatterns(QWidget):
    """Signals: newest_asked() the days up to the last reading, line_asked() the entry line."""

    newest_asked = Signal()
    line_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = Label("", self, role=Role.EMPTY, wrap=True)
        self._why = TextColumn("", self, ink="ink2")
        self.button = Button("", self)
        self._has_any = False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, px(8), 0, px(8))
        column.setSpacing(px(6))
        column.addWidget(self._title)
        column.addWidget(self._why)
        column.addWidget(self.button, 0, Qt.AlignmentFlag.AlignLeading)
        self.button.clicked.connect(self._on_button)

    def show_state(self, shown: PatternsShown) -> None:
        """Say why nothing is there, and offer the days that have readings."""
        last, order = shown.last_day, shown.found.person.date_order
        if last is None:
            self._title.setText(tr("No readings yet (n 0)"))
            self._why.setText(
                tr(
                    "A slot needs 3 tests on different days before anything is said of lows, and 5 "
                    "of highs. Write the first one in the line at the side."
                )
            )
            self.button.setText(tr("Go to the line"))
        else:
            self._title.setText(tr("No reading that counts in these days (n 0)"))
            self._why.setText(
                tr("The last reading is from {day}.").format(day=day_words(last, order))
            )
            self.button.setText(
                tr("Show the {days} days up to it").format(days=count_words(DEFAULT_DAYS))
            )
        self._has_any = last is not None
        self.button.setAccessibleName(self.button.text())

    def _on_button(self) -> None:
        (self.newest_asked if self._has_any else self.line_asked).emit()
