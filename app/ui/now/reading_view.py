"""A reading in the slip: the number large, its sign, its level in words, and the rest in rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.look.marks import MarkLook
from app.look.theme import follow_theme
from app.look.type import Role
from app.ui.controls import Label, MarkSign
from app.ui.controls.drawing import px
from app.ui.controls.flow import FlowRow
from app.ui.controls.wrapping import WrapLabel

_MOST_ROWS = 10
_INK_OF_LEVEL = {
    "very_low": "very_low",
    "low": "low_text",
    "in_range": "ink2",
    "high": "high_text",
    "very_high": "very_high",
}


@dataclass(frozen=True, slots=True)
class Shown:
    """What the slip shows of a reading, in words."""

    number: str
    unit: str
    look: MarkLook | None
    words: str = ""
    rows: tuple[tuple[str, str], ...] = ()

    @property
    def sentence(self) -> str:
        """All of it for a screen reader."""
        said = [f"{self.number} {self.unit}".strip(), self.words]
        said += [f"{name}: {value}" for name, value in self.rows]
        return ". ".join(part for part in said if part)


class ReadingView(QWidget):
    """The parts of a reading; `large` while it is being entered."""

    def __init__(self, parent: QWidget | None = None, *, large: bool) -> None:
        super().__init__(parent)
        self._shown: Shown | None = None
        self._number = Label("", role=Role.ENTERED if large else Role.LAST)
        self._unit = WrapLabel("", ink="ink2")
        self._sign = MarkSign()
        self._value = FlowRow([self._number, self._unit, self._sign], self, last_far=True)
        self._words = WrapLabel("", self, role=Role.STRONG)
        self._rows: list[tuple[FlowRow, Label, WrapLabel]] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self._value)
        column.addWidget(self._words)
        self._below = QVBoxLayout()
        column.addLayout(self._below)
        follow_theme(self._restyle)

    def show_reading(self, shown: Shown) -> None:
        """Show another reading in the same widgets; only what differs is laid out anew."""
        before, self._shown = self._shown, shown
        if before is None or before.rows != shown.rows:
            self._show_rows(shown.rows)
        if before is not None and replace(before, rows=()) == replace(shown, rows=()):
            return
        self._number.setText(shown.number)
        self._unit.setText(shown.unit)
        self._sign.set_look(shown.look)
        self._value.settle()
        self._words.setText(shown.words)
        self._words.setVisible(bool(shown.words))
        self._words.set_ink("ink2" if shown.look is None else _INK_OF_LEVEL[shown.look.level.value])

    def _show_rows(self, rows: Sequence[tuple[str, str]]) -> None:
        # Unused rows are emptied, not hidden: a row that is shown lays out the whole column anew.
        while len(self._rows) < max(len(rows), _MOST_ROWS):
            name, value = Label("", ink="ink2"), WrapLabel("")
            row = FlowRow([name, value], self, gap=12, above=2)
            self._below.addWidget(row)
            self._rows.append((row, name, value))
        for at, (row, name, value) in enumerate(self._rows):
            said, means = rows[at] if at < len(rows) else ("", "")
            if (name.text(), value.text()) != (said, means):
                name.setText(said)
                value.setText(means)
                row.settle()
        self._align(self._rows[: len(rows)])

    def _align(self, rows: Sequence[tuple[FlowRow, Label, WrapLabel]]) -> None:
        """Let the values stand in one column."""
        widest = max((name.sizeHint().width() for _, name, _ in rows), default=0)
        for row, name, _ in rows:
            if name.minimumWidth() != widest:
                name.setMinimumWidth(widest)
                row.settle()

    def _restyle(self) -> None:
        self._below.setSpacing(0)
        self._below.setContentsMargins(0, px(4), 0, 0)
        self._align([row for row in self._rows if row[1].text()])
