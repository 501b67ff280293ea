"""The two columns below the grid, room between their sections, and labels that go when empty."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.ui.controls import TextColumn
from app.ui.controls.drawing import px

_WIDEST = 620  # px at a text size of 13 px: further apart, a name and its words lose each other


class Half(QWidget):
    """One of the two columns; its parts go into `column`."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        follow_theme(self._restyle)

    def _restyle(self) -> None:
        self.setMaximumWidth(px(_WIDEST))


class Space(QWidget):
    """Room before another section."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        follow_theme(self._restyle)

    def _restyle(self) -> None:
        self.setFixedHeight(px(6))


def say(label: TextColumn, lines: Sequence[str]) -> None:
    """Let a label say these lines; with none it takes no room."""
    label.setText("\n".join(lines))
    label.setVisible(bool(lines))
