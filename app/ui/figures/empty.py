"""What the page says where there is nothing to count: what is not there, and one way on."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.domain.clock import Period, last_days
from app.look.type import Role
from app.review.figures_shown import FiguresShown
from app.ui.controls import Button, Label, TextColumn
from app.ui.controls.drawing import px
from app.ui.figures.sentences import left_out_words
from app.ui.figures.words import tr
from app.ui.session import DEFAULT_DAYS
from app.ui.words import count_words, day_words


class EmptyFigures(QWidget):
    """Signals: period_asked(Period), the days up to the last reading."""

    period_asked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = Label("", self, role=Role.EMPTY, wrap=True)
        self._why = TextColumn("", self, ink="ink2")
        self.button = Button("", self)
        self._period: Period | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, px(8), 0, px(8))
        column.setSpacing(px(6))
        for widget in (self._title, self._why):
            column.addWidget(widget)
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.button)
        row.addStretch(1)
        column.addLayout(row)
        self.button.clicked.connect(self._on_button)

    def show_state(self, shown: FiguresShown) -> None:
        """Say why nothing is counted, and offer the days that have readings."""
        period, person, last = shown.figures.period, shown.figures.person, shown.last_day
        self._period = None
        left_out = left_out_words(shown)
        if last is None:
            self._title.setText(tr("No readings yet (n 0)"))
            self._why.setText(
                tr(
                    "An average and a median need 3 readings; spread and shares 14 readings on "
                    "5 days. Write the first one in the line at the side."
                )
            )
        elif left_out:
            self._title.setText(tr("No reading that counts in these days (n 0)"))
            self._why.setText(left_out)
        else:
            self._title.setText(tr("No readings in these days (n 0)"))
            self._why.setText(
                tr("The last reading is from {day}.").format(day=day_words(last, person.date_order))
            )
            if not period.first <= last <= period.last:
                self._period = last_days(DEFAULT_DAYS, last)
                self.button.setText(
                    tr("Show the {days} days up to it").format(days=count_words(DEFAULT_DAYS))
                )
        self.button.setVisible(self._period is not None)

    def _on_button(self) -> None:
        if self._period is not None:
            self.period_asked.emit(self._period)
