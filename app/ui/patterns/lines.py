"""The lower steps of the ladder, a line for each: seen once, can't tell, not seen."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from app.look.theme import follow_theme
from app.look.type import Role
from app.review.patterns import PatternsFound
from app.statistics.patterns import Step
from app.ui.controls import FlatButton, Label
from app.ui.controls.drawing import RESERVE, px
from app.ui.patterns import words
from app.ui.patterns.prose import Prose
from app.ui.patterns.words import tr

_STEPS = (Step.SEEN_ONCE, Step.CANNOT_TELL, Step.NOT_SEEN)


class StepLines(QWidget):
    """Signals: readings_asked(Step) when the readings behind a line are to be listed."""

    readings_asked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setColumnStretch(3, 1)
        self._names: dict[Step, Label] = {}
        self._texts: dict[Step, Prose] = {}
        self.buttons: dict[Step, FlatButton] = {}
        middle = Qt.AlignmentFlag.AlignVCenter
        for at, step in enumerate(_STEPS):
            self._names[step] = Label("", self, role=Role.STRONG)
            self._texts[step] = Prose("", self, ink="ink2")
            button = FlatButton(tr("list"), self, size="bar", underlined=True)
            button.setToolTip(tr("List the readings"))
            button.clicked.connect(partial(self._on_clicked, step))
            self.buttons[step] = button
            self._grid.addWidget(self._names[step], at, 0, middle)
            self._grid.addWidget(self._texts[step], at, 1, middle)
            self._grid.addWidget(button, at, 2, middle)
        follow_theme(self._restyle)

    def show_lines(self, found: PatternsFound) -> None:
        """Show what stands on the lower steps of the ladder."""
        for step in _STEPS:
            held = found.on_step(step)
            say = words.cannot_tell if step is Step.CANNOT_TELL else words.seen_once
            self._names[step].setText(words.step_name(step))
            self._texts[step].setText(say(held))
            self._texts[step].setAccessibleName(f"{words.step_name(step)}: {say(held)}")
            self.buttons[step].setAccessibleName(
                tr("list the readings: {step}").format(step=words.step_name(step))
            )
            self.buttons[step].setVisible(any(each.hits for each in held))
            for part in (self._names[step], self._texts[step]):
                part.setVisible(bool(held))

    def text(self, step: Step) -> str:
        """What the line of a step says."""
        return self._texts[step].text()

    def _on_clicked(self, step: Step) -> None:
        self.readings_asked.emit(step)

    def _restyle(self) -> None:
        self._grid.setHorizontalSpacing(px(14))
        self._grid.setVerticalSpacing(px(2))
        for button in self.buttons.values():  # in line with the words, not higher than them
            button.setFixedHeight(button.fontMetrics().height() + 2 * RESERVE)
