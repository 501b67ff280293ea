"""When a person usually tests: a small field for each slot; an empty one says nothing."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from app.domain.errors import Refused
from app.domain.marks import SLOTS, Mark
from app.domain.minutes import minute_of, minute_words
from app.look.type import Role
from app.ui.controls import Label, LineField
from app.ui.controls.drawing import px

COLUMNS = 4


class _Short(LineField):
    """A field as wide as a time of day."""

    def sizeHint(self) -> QSize:
        return QSize(
            self.fontMetrics().horizontalAdvance("00:00 AM") + px(26), super().sizeHint().height()
        )


class UsualTimes(QWidget):
    """Eight times of day. Signals: changed()."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(px(12))
        grid.setVerticalSpacing(px(8))
        self._fields: dict[Mark, _Short] = {}
        for at, mark in enumerate(SLOTS):
            cell = QVBoxLayout()
            cell.setSpacing(2)
            label = Label(mark.words, self, role=Role.SMALL, ink="ink2")
            field = _Short(parent=self, name=self.tr("usual time, {slot}").format(slot=mark.words))
            label.setBuddy(field)
            cell.addWidget(label)
            cell.addWidget(field)
            field.textEdited.connect(lambda _text: self.changed.emit())
            grid.addLayout(cell, at // COLUMNS, at % COLUMNS)
            self._fields[mark] = field

    @property
    def texts(self) -> dict[str, str]:
        """What stands in the fields, by the slot's code, as typed."""
        return {mark.value: field.text() for mark, field in self._fields.items()}

    def minutes(self) -> dict[Mark, int]:
        """The times that were typed; refuses one that is no time of day, and names its field."""
        found: dict[Mark, int] = {}
        for mark, field in self._fields.items():
            text = field.text().strip()
            if not text:
                continue
            minute = minute_of(text)
            if minute is None:
                field.setFocus()
                raise Refused(
                    self.tr('"{text}" for {slot} is no time of day; write it as 7:05.').format(
                        text=text, slot=mark.words
                    )
                )
            found[mark] = minute
        return found

    def show_minutes(self, times: Mapping[Mark, int], clock: int) -> None:
        """Fill the fields with times."""
        for mark, field in self._fields.items():
            field.setText(minute_words(times[mark], clock) if mark in times else "")

    def show_texts(self, texts: Mapping[str, str]) -> None:
        """Fill the fields with what was typed before."""
        for mark, field in self._fields.items():
            field.setText(texts.get(mark.value, ""))
