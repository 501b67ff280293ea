"""What stands in the place of an empty table: one sentence, and one button."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.look.type import Role
from app.ui.controls import Button, Label, TextColumn
from app.ui.controls.drawing import px
from app.ui.readings.words import tr


class EmptyState(QWidget):
    """Signals, of which the button sends one: entry_asked(), all_asked(), days_asked()."""

    entry_asked = Signal()
    all_asked = Signal()
    days_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = Label("", self, role=Role.EMPTY)
        self._words = TextColumn("", self, ink="ink2")
        self.button = Button(tr("Show all"), self)
        self._sends = self.entry_asked
        self._column = QVBoxLayout(self)
        self._column.addWidget(self._title)
        self._column.addWidget(self._words)
        self._column.addWidget(self.button, 0, Qt.AlignmentFlag.AlignLeading)
        self._column.addStretch(1)
        self.button.clicked.connect(self._on_clicked)
        self.hide()
        follow_theme(self._restyle)

    @property
    def sentence(self) -> str:
        """What it says."""
        return self._words.text()

    def say_nothing(self, *, example: str) -> None:
        """There is no reading at all yet."""
        words = tr(
            "Type the number that the meter shows into the line at the left, for instance"
            " {example}, and press Enter; it will stand here."
        )
        self._say(tr("No readings yet"), words.format(example=example))
        self._offer(tr("Go to the line"), hint="Ctrl+L")
        self._sends = self.entry_asked

    def say_other_days(self) -> None:
        """There are readings, but on other days."""
        self._say(
            tr("No readings on these days"),
            tr("Readings of other days are in the diary; these days hold none (n 0)."),
        )
        self._offer(tr("Show the last days that have some"), hint="")
        self._sends = self.days_asked

    def say_filtered(self) -> None:
        """There are readings on these days, but no filter lets them through."""
        self._say(
            tr("Nothing found"), tr("No reading of these days fits every filter that is set (n 0).")
        )
        self._offer(tr("Show all"), hint="")
        self._sends = self.all_asked

    def _say(self, title: str, words: str) -> None:
        self._title.setText(title)
        self._words.setText(words)
        self.setAccessibleName(f"{title}. {words}")
        self.show()

    def _offer(self, text: str, *, hint: str) -> None:
        self.button.setText(text)
        self.button.set_hint(hint)
        self.button.setAccessibleName(text)

    def _on_clicked(self) -> None:
        self._sends.emit()

    def _restyle(self) -> None:
        self._column.setContentsMargins(0, px(24), 0, 0)
        self._column.setSpacing(px(10))
