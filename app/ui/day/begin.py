"""What a day says where there is nothing to show: what is missing, why it matters, what to do."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.look.type import Role
from app.review.day import DayView
from app.ui.controls import Button, Label, TextColumn
from app.ui.controls.drawing import px
from app.ui.day.words import tr
from app.ui.words import date_words


class Begin(QWidget):
    """A title, a sentence or two, and one button.

    Signals: `line_asked()` the entry line is wanted, `day_asked(date)` another day is.
    """

    line_asked = Signal()
    day_asked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._view: DayView | None = None
        self._title = Label("", self, role=Role.EMPTY)
        self._text = TextColumn("", self)
        self.button = Button("", self)
        self._more = TextColumn("", self, role=Role.SMALL, ink="ink3")
        row = QHBoxLayout()
        row.addWidget(self.button)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, px(12), 0, px(12))
        column.setSpacing(px(8))
        column.addWidget(self._title)
        column.addWidget(self._text)
        column.addLayout(row)
        column.addWidget(self._more)
        column.addStretch(1)
        self.button.clicked.connect(self._on_clicked)

    def show_day(self, view: DayView) -> None:
        """Say what is missing on this day; nothing where there is something."""
        self._view = view
        self.setVisible(not view.rows)
        if view.rows:
            return
        if view.nearest is None:
            self._say_first(view)
        else:
            self._say_none(view)

    def _say_first(self, view: DayView) -> None:
        example = "112 fasting" if view.unit.value == "mg/dL" else "6.2 fasting"
        self._title.setText(tr("The diary begins with one reading"))
        self._text.setText(
            tr(
                "Nothing is written yet. Write the number the meter shows in the line at the side, "
                "for instance “{example}”, and press Enter. The mark and the rest can wait; the "
                "time is now unless you say another."
            ).format(example=example)
        )
        self._offer(tr("Go to the line"), "Ctrl+L")
        self._more.setText(
            tr(
                "Pages fill as readings come: medians from 5 readings in a slot, averages from 3. "
                "Until then each page says what is missing."
            )
        )
        self._more.setVisible(True)

    def _say_none(self, view: DayView) -> None:
        self._more.setVisible(False)
        if view.nearest == view.day or view.nearest is None:
            return
        day = date_words(view.nearest, view.day, view.person)
        if view.is_today:
            self._title.setText(tr("Nothing is written today yet"))
            self._text.setText(
                tr(
                    "What you type in the line at the side appears here. "
                    "The last reading is of {day}."
                ).format(day=day)
            )
        else:
            self._title.setText(tr("Nothing is written on this day"))
            self._text.setText(
                tr(
                    "A day without readings is a gap in every figure. The last reading is of {day}."
                ).format(day=day)
            )
        self._offer(tr("Go to {day}").format(day=day), "")

    def _offer(self, text: str, key: str) -> None:
        self.button.setText(text)
        self.button.set_hint(key)
        self.button.setAccessibleName(f"{text}, {key}" if key else text)

    def _on_clicked(self) -> None:
        if self._view is None:
            return
        if self._view.nearest is None:
            self.line_asked.emit()
        else:
            self.day_asked.emit(self._view.nearest)
