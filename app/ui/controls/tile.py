"""A figure: its name, the number with its unit, and one or two small lines that belong to it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.look.type import Role
from app.ui.controls.labels import Label, align_baselines
from app.ui.controls.wrapping import WrapLabel


class FigureTile(QWidget):
    """A figure with its unit, its spread or interval, and its n; or what is missing for it.

    Parameters
    ----------
    name : str
        What the figure is called.
    role : Role
        How the number is set.
    beside : QWidget, optional
        Stands after the name; becomes a child.
    """

    def __init__(
        self,
        name: str,
        parent: QWidget | None = None,
        *,
        role: Role = Role.FIGURE,
        beside: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._figure_role = role
        self._name = WrapLabel(name, self, ink="ink2")
        self._number = Label("", self, role=role)
        self._unit = Label("", self, ink="ink2")
        self._lines = (
            Label("", self, role=Role.SMALL, wrap=True),
            Label("", self, role=Role.SMALL, ink="ink3", wrap=True),
        )
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self._number, 0, Qt.AlignmentFlag.AlignBottom)
        row.addWidget(self._unit, 1, Qt.AlignmentFlag.AlignBottom)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(self._named(beside))
        column.addLayout(row)
        for line in self._lines:
            column.addWidget(line)
        column.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        follow_theme(self._restyle)

    def set_name(self, name: str) -> None:
        """Change what the figure is called."""
        self._name.setText(name)

    def set_figure(self, number: str, unit: str, lines: Sequence[str] = ()) -> None:
        """Show a number; the first small line is in ink, the second (n) quieter.

        Raises
        ------
        ValueError
            If there are more than two lines.
        """
        if len(lines) > len(self._lines):
            raise ValueError(f"a figure has at most two small lines: lines={list(lines)}")
        self._number.set_role(self._figure_role)
        self._number.set_ink("ink")
        self._number.setWordWrap(False)
        self._fill(number, unit, lines)

    def set_missing(self, why: str, n: str = "") -> None:
        """Say what is missing instead of a number: "n 2: too few for a median, 3 more would do"."""
        self._number.set_role(Role.BODY)
        self._number.set_ink("ink2")
        self._number.setWordWrap(True)
        self._fill(why, "", ("", n) if n else ())

    def _named(self, beside: QWidget | None) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(4)
        if beside is None:
            row.addWidget(self._name, 1)
            return row
        row.addWidget(self._name)
        row.addWidget(beside, 0, Qt.AlignmentFlag.AlignTop)
        row.addStretch(1)
        return row

    def _fill(self, number: str, unit: str, lines: Sequence[str]) -> None:
        self._number.setText(number)
        self._unit.setText(unit)
        # Without a unit the words may take the whole width.
        self._unit.setVisible(bool(unit))
        for label, text in zip(self._lines, [*lines, "", ""], strict=False):
            label.setText(text)
            label.setVisible(bool(text))
        said = [f"{self._name.text()}: {number} {unit}".strip(), *filter(None, lines)]
        self.setAccessibleName(". ".join(said))
        self._restyle()

    def _restyle(self) -> None:
        align_baselines([self._number, self._unit])
