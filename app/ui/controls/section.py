"""The title of a section, with a count and a quiet note on the same line."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.look.theme import follow_theme
from app.look.type import Role
from app.ui.controls.elided import ElidedLabel
from app.ui.controls.labels import Label, align_baselines


class SectionTitle(QWidget):
    """A title; `count` stands beside it, `note` says how to read what follows."""

    def __init__(
        self, text: str, parent: QWidget | None = None, *, count: int | None = None, note: str = ""
    ) -> None:
        super().__init__(parent)
        self._title = Label(text, self, role=Role.SECTION)
        self._count = Label("", self, role=Role.SMALL, ink="ink3")
        self._note = ElidedLabel(note, self, role=Role.SMALL, ink="ink3")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(10)
        for label in (self._title, self._count):
            row.addWidget(label, 0, Qt.AlignmentFlag.AlignBottom)
        row.addWidget(self._note, 1000, Qt.AlignmentFlag.AlignBottom)
        row.addStretch(1)  # holds title and count together where there is no note
        self.set_count(count)
        self.set_note(note)
        follow_theme(self._restyle)

    def set_text(self, text: str) -> None:
        """Change the title."""
        self._title.setText(text)
        self._name()

    def set_count(self, count: int | None) -> None:
        """Change the count; None takes it away."""
        self._count.setText("" if count is None else str(count))
        self._count.setVisible(count is not None)
        self._name()

    def set_note(self, note: str) -> None:
        """Change the note; an empty one goes."""
        self._note.setText(note)
        self._note.setVisible(bool(note))
        self._name()

    def _name(self) -> None:
        said = [self._title.text(), self._count.text(), self._note.text()]
        self.setAccessibleName(", ".join(part for part in said if part))

    def _restyle(self) -> None:
        align_baselines([self._title, self._count, self._note])
