"""The head of the year: its last month, and how to go to another one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.look.icons import Icon
from app.ui.controls import Button, Choice, PageHead
from app.ui.year.words import month_words, tr


class YearHead(QWidget):
    """Left and Right go to the month before and after while a button of it has the focus.

    Signals: `stepped(-1 or 1)` by one month, `ending_chosen(date)` the first day of a last month.
    """

    stepped = Signal(int)
    ending_chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.before = Button(icon=Icon.LEFT, name=tr("Month before"))
        self.ending = Choice(name=tr("Last month"))
        self.after = Button(icon=Icon.RIGHT, name=tr("Month after"))
        self._months: tuple[date, ...] = ()
        self._head = PageHead(tr("Year"), tools=(self.before, self.ending, self.after))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._head)
        self.before.clicked.connect(lambda: self.stepped.emit(-1))
        self.after.clicked.connect(lambda: self.stepped.emit(1))
        self.ending.activated.connect(self._on_ending)

    def show_months(self, months: Sequence[date], ending: date) -> None:
        """Offer these months, the newest first, and show which one is the last now."""
        if tuple(months) != self._months:
            self._months = tuple(months)
            with QSignalBlocker(self.ending):
                self.ending.clear()
                for month in self._months:
                    self.ending.addItem(tr("to {month}").format(month=month_words(month)), month)
            self.ending.updateGeometry()
        at = self._months.index(ending)
        self.ending.setCurrentIndex(at)
        focused = self.before.hasFocus() or self.after.hasFocus()
        self.after.setEnabled(at > 0)
        self.before.setEnabled(at < len(self._months) - 1)
        if focused and not (self.before.hasFocus() or self.after.hasFocus()):
            self.ending.setFocus()  # a button that is off may not keep the focus

    def set_subtitle(self, text: str) -> None:
        """Change the line below the title."""
        self._head.set_subtitle(text)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Follow the way the chevrons point, which turns with the language."""
        turned = self.layoutDirection() is Qt.LayoutDirection.RightToLeft
        steps = {Qt.Key.Key_Left.value: -1, Qt.Key.Key_Right.value: 1}
        step = steps.get(event.key(), 0) * (-1 if turned else 1)
        if step and not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            self.stepped.emit(step)
        else:
            super().keyPressEvent(event)

    def _on_ending(self, at: int) -> None:
        self.ending_chosen.emit(self._months[at])
