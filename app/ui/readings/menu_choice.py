"""A button that says what is chosen and opens the list: as narrow as its text, for bars."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu, QWidget

from app.ui.controls import Button


class MenuChoice(Button):
    """One of several, the first of them "any". Signals: chosen(value), only by the person."""

    chosen = Signal(object)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self._name = name
        self._value: object = None
        self._list = QMenu(self)
        self._group = QActionGroup(self)
        self._group.triggered.connect(self._on_triggered)
        self.setMenu(self._list)
        self.setCheckable(True)

    def value(self) -> object:
        """What the chosen line stands for; None for the first."""
        return self._value

    def offer(self, choices: Sequence[tuple[str, object]]) -> None:
        """Offer lines with what they stand for, the first of them for None."""
        for action in self._group.actions():
            self._group.removeAction(action)
        self._list.clear()
        for text, value in choices:
            action = self._list.addAction(text)
            action.setData(value)
            action.setCheckable(True)
            self._group.addAction(action)
        self.choose(self._value if any(value == self._value for _, value in choices) else None)

    def choose(self, value: object) -> None:
        """Choose a line without a signal; what no line stands for chooses the first."""
        actions = self._group.actions()
        if not actions:
            return
        found = next((each for each in actions if each.data() == value), actions[0])
        found.setChecked(True)
        self._value = found.data()
        self.setText(found.text())
        self.setChecked(self._value is not None)
        self.setAccessibleName(f"{self._name}: {found.text()}")
        self.updateGeometry()

    def nextCheckState(self) -> None:
        """Only a choice other than the first makes it look pressed, not a click."""

    def _on_triggered(self, action: QAction) -> None:
        self.choose(action.data())
        self.chosen.emit(self._value)
