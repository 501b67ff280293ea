"""The line below the grid: the planned test that is spoken of, and what can be done with it."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import QDate, Qt, QTime, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.domain.person import Person
from app.look.theme import follow_theme
from app.review.schedule import Planned
from app.ui.controls import Button, DateField, FlatButton, FlowRow, Label, TimeField, WrapLabel
from app.ui.controls.drawing import px
from app.ui.plan.acts import Act, acts_for
from app.ui.plan.words import tr
from app.ui.words import date_format

_WORDS = {
    Act.WRITE: "Write it now",
    Act.SHOW: "Show the reading",
    Act.ELSEWHERE: "Done elsewhere",
    Act.MOVE: "Move…",
    Act.SKIP: "Put aside",
    Act.AGAIN: "Expect it again",
}


def act_words(act: Act) -> str:
    """What a button says that does it."""
    return tr(_WORDS[act])


class TestBar(QWidget):
    """Signals: wanted(str) an act on the test that is spoken of, moved(datetime) to when, naive."""

    __test__ = False  # no test of pytest, whatever its name begins with

    wanted = Signal(str)
    moved = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._planned: Planned | None = None
        self._says = WrapLabel("", self, ink="ink2")
        self.buttons = {act: FlatButton(act_words(act), size="bar") for act in Act}
        self._row = FlowRow([self._says, *self.buttons.values()], self, gap=4)
        self.to_day = DateField(QDate(), order="d MMM yyyy", name=tr("Move to the day"))
        self.to_time = TimeField(QTime(), name=tr("Move to the time"))
        self.move_it = Button(tr("Move it"))
        self._leave = FlatButton(tr("Leave it"))
        self._to = QWidget(self)
        row = QHBoxLayout(self._to)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(px(8))
        self._to_label = Label(tr("Move to"), ink="ink2")
        for part in (self._to_label, self.to_day, self.to_time, self.move_it, self._leave):
            row.addWidget(part)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(4))
        column.addWidget(self._row)
        column.addWidget(self._to)
        self._to.hide()
        follow_theme(self._restyle)
        for act, button in self.buttons.items():
            button.clicked.connect(lambda _checked=False, act=act: self.wanted.emit(act.value))
        self.move_it.clicked.connect(self._on_move)
        self._leave.clicked.connect(self.put_away)
        self.speak_of(None, "")

    @property
    def planned(self) -> Planned | None:
        """The test that is spoken of."""
        return self._planned

    @property
    def sentence(self) -> str:
        """What the line says."""
        return self._says.text()

    def speak_of(self, planned: Planned | None, sentence: str) -> None:
        """Say what became of a test, or what stands in a cell without one."""
        if planned is None or self._planned is None or planned.key != self._planned.key:
            self._to.hide()
        self._planned = planned
        hint = tr(
            "Arrow keys walk the grid; Enter shows the reading, or writes a test that is due."
        )
        self._says.setText(sentence or hint)
        self._says.set_ink("ink2" if sentence else "ink3")
        can = acts_for(planned)
        for act, button in self.buttons.items():
            button.setVisible(act in can)
        self._row.settle()

    def ask_when(self, person: Person) -> None:
        """Ask to when the test is to be moved."""
        if self._planned is None:
            return
        wall = self._planned.wall
        self.to_day.setDisplayFormat(date_format(person.date_order))
        self.to_time.setDisplayFormat("HH:mm" if person.clock == 24 else "h:mm AP")
        self.to_day.setDate(QDate(wall.year, wall.month, wall.day))
        self.to_time.setTime(QTime(wall.hour, wall.minute))
        self._to.show()
        self.to_time.setFocus(Qt.FocusReason.OtherFocusReason)

    def put_away(self) -> None:
        """Ask no more."""
        had_focus = self._to.isAncestorOf(self.focusWidget() or self)
        self._to.hide()
        if had_focus:
            self.buttons[Act.MOVE].setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self._to.isVisible():
            self.put_away()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._to.isVisible():
            self._on_move()
        else:
            super().keyPressEvent(event)

    def _restyle(self) -> None:
        # As high with buttons as without: what stands below stays where it is.
        self._row.setMinimumHeight(self.buttons[Act.SKIP].sizeHint().height())

    def _on_move(self) -> None:
        day, time = self.to_day.date(), self.to_time.time()
        to = datetime(day.year(), day.month(), day.day(), time.hour(), time.minute())  # noqa: DTZ001
        self._to.hide()
        self.moved.emit(to)
