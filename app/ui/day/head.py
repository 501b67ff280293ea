"""The head of a day: its date, how to go to another one, and what was written in one line."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.look.icons import Icon
from app.review.day import DayView
from app.ui.controls import Button, PageHead
from app.ui.day.words import subtitle_words, tr
from app.ui.words import full_date_words


class DayHead(QWidget):
    """Left and Right go to the day before and after while a button of it has the focus.

    Signals: `stepped(-1 or 1)`, `today_asked()`.
    """

    stepped = Signal(int)
    today_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.before = Button(icon=Icon.LEFT, name=tr("Day before"))
        self.today = Button(tr("Today"))
        self.after = Button(icon=Icon.RIGHT, name=tr("Day after"))
        self._head = PageHead("", tools=(self.before, self.today, self.after))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._head)
        self.before.clicked.connect(lambda: self.stepped.emit(-1))
        self.after.clicked.connect(lambda: self.stepped.emit(1))
        self.today.clicked.connect(self.today_asked)

    def show_day(self, view: DayView) -> None:
        """Show another day."""
        self._head.set_title(full_date_words(view.day, view.person))
        self._head.set_subtitle(subtitle_words(view))
        focused = self.after.hasFocus() or self.today.hasFocus()
        self.today.setEnabled(not view.is_today)
        self.after.setEnabled(not view.is_today)
        if view.is_today and focused:
            self.before.setFocus()  # a button that is off may not keep the focus

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Follow the way the chevrons point, which turns with the language."""
        turned = self.layoutDirection() is Qt.LayoutDirection.RightToLeft
        steps = {Qt.Key.Key_Left.value: -1, Qt.Key.Key_Right.value: 1}
        step = steps.get(event.key(), 0) * (-1 if turned else 1)
        if step and not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            if step < 0 or self.after.isEnabled():
                self.stepped.emit(step)
        else:
            super().keyPressEvent(event)
