"""Figures below each other: value, what it says, what it needs, its warning, and its "?"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.look.type import Role
from app.review.help import all_help
from app.ui.controls import Hairline, Label
from app.ui.controls.drawing import px
from app.ui.controls.labels import align_baselines
from app.ui.controls.wrapping import WrapLabel
from app.ui.figures.helped import HelpButton, OneStop
from app.ui.figures.words import tr

_NAME_PX = 190


@dataclass(frozen=True, slots=True)
class Told:
    """One figure: its text and the quiet words after it, or `why` there is none."""

    text: str
    quiet: str = ""
    why: str = ""


class SpreadList(QWidget):
    """One Tab stop; Up and Down walk the figures, Enter and F1 explain one.

    Signals: help_asked(str) with the key of a figure.
    """

    help_asked = Signal(str)

    def __init__(
        self, keys: Sequence[str], warned: Sequence[str], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.rows = tuple(_Row(key, self, warned=key in warned) for key in keys)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for row in self.rows:
            column.addWidget(Hairline(self))
            column.addWidget(row)
            row.button.help_asked.connect(self.help_asked)
        OneStop([row.button for row in self.rows], self)

    def show_told(self, told: Sequence[Told]) -> None:
        """Show the figures in the order of their keys."""
        for row, each in zip(self.rows, told, strict=True):
            row.show_told(each)


class _Row(QWidget):
    """A figure in two or three lines."""

    def __init__(self, key: str, parent: QWidget, *, warned: bool) -> None:
        super().__init__(parent)
        self.help = all_help()[key]
        self.help_key = key
        self.button = HelpButton(key, self)
        self.name = WrapLabel(tr(self.help.title), self)
        self.number = Label("", self, role=Role.STRONG)
        self.unit = Label("", self, role=Role.SMALL, ink="ink2")
        self.meaning = WrapLabel(tr(self.help.meaning), self, ink="ink2")
        needs = tr("Needs {minimum}.").format(minimum=self.help.minimum)
        under = f"{needs} {tr(self.help.caution)}" if warned else needs
        self.under = WrapLabel(under, self, role=Role.SMALL, ink="ink3")
        self._value = QHBoxLayout()
        self._value.addWidget(self.number, 0, Qt.AlignmentFlag.AlignBottom)
        self._value.addWidget(self.unit, 1, Qt.AlignmentFlag.AlignBottom)
        self._grid = QGridLayout(self)
        self._grid.addWidget(self.name, 0, 0, 2, 1, Qt.AlignmentFlag.AlignTop)
        self._grid.addLayout(self._value, 0, 1, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(self.meaning, 1, 1)
        self._grid.addWidget(self.under, 2, 1)
        self._grid.addWidget(self.button, 0, 2, Qt.AlignmentFlag.AlignTop)
        self._grid.setColumnStretch(1, 1)
        follow_theme(self._restyle)

    def show_told(self, told: Told) -> None:
        """Show its value, or the words for why there is none."""
        self.number.set_role(Role.STRONG if told.text else Role.BODY)
        self.number.set_ink("ink" if told.text else "ink2")
        self.number.setWordWrap(not told.text)
        why = tr("not shown: {why}").format(why=told.why)
        self.number.setText(told.text or why)
        self.unit.setText(told.quiet if told.text else "")
        self.unit.setVisible(bool(self.unit.text()))
        said = f"{self.name.text()}: {self.number.text()} {self.unit.text()}".strip()
        self.button.setAccessibleDescription(f"{said}. {self.meaning.text()}")
        self._restyle()

    def _restyle(self) -> None:
        self._grid.setContentsMargins(0, px(7), 0, px(7))
        self._grid.setHorizontalSpacing(px(12))
        self._grid.setVerticalSpacing(px(1))
        self._value.setSpacing(px(6))
        self.name.setFixedWidth(px(_NAME_PX))
        align_baselines([self.number, self.unit])
