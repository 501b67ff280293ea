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
        # Kept here: Qt hands a value of an enumeration of texts back as mere text.
        self._choices: list[tuple[str, object]] = []
        self._at = 0
        self._list = QMenu(self)
        self._group = QActionGroup(self)
        self._group.triggered.connect(self._on_triggered)
        self.setMenu(self._list)
        self.setCheckable(True)
        self.setAccessibleName(name)

    def value(self) -> object:
        """What the chosen line stands for; None for the first."""
        return self._choices[self._at][1] if self._choices else None

    def offer(self, choices: Sequence[tuple[str, object]]) -> None:
        """Offer lines with what they stand for, the first of them for None."""
        before = self.value()
        for action in self._group.actions():
            self._group.removeAction(action)
        self._list.clear()
        self._choices = list(choices)
        for place, (text, _) in enumerate(self._choices):
            action = self._list.addAction(text)
            action.setData(place)
            action.setCheckable(True)
            self._group.addAction(action)
        self.choose(before)

    def choose(self, value: object) -> None:
        """Choose a line without a signal; what no line stands for chooses the first."""
        values = [each for _, each in self._choices]
        self._at = values.index(value) if value in values else 0
        text = self._choices[self._at][0]
        self._group.actions()[self._at].setChecked(True)
        self.setText(text)
        self.setChecked(self.value() is not None)
        self.setAccessibleName(f"{self._name}: {text}")
        self.updateGeometry()

    def nextCheckState(self) -> None:
        """Only a choice other than the first makes it look pressed, not a click."""

    def _on_triggered(self, action: QAction) -> None:
        self.choose(self._choices[action.data()][1])
        self.chosen.emit(self.value())
