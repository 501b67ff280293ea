"""The slip: one place for what will be saved, what is asked first, and the last reading."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from functools import partial

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QColor,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QApplication, QFrame, QVBoxLayout, QWidget

from app.domain.glucose import Unit
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role
from app.ui.controls import KeyHint
from app.ui.controls.drawing import RADIUS, px
from app.ui.controls.flow import FlowRow
from app.ui.controls.wrapping import WrapLabel, hfw_policy
from app.ui.now.answer_button import AnswerButton
from app.ui.now.choices import Choice
from app.ui.now.reading_view import ReadingView, Shown


class State(StrEnum):
    """What the slip is just now."""

    EMPTY = "empty"
    HINT = "hint"
    LAST = "last"
    PENDING = "pending"
    QUESTION = "question"
    SAVING = "saving"


_DASHED = (State.HINT, State.PENDING, State.QUESTION, State.SAVING)


class Slip(QFrame):
    """Dashed while it is not in the diary, solid and quiet after; brass when it asks.

    Signals: answered(str) with the whole line that an answer makes, left() when the person goes
    back from the answers to the line.
    """

    answered = Signal(str)
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = State.EMPTY
        self._said = ""
        self._head = WrapLabel("", self, role=Role.SMALL, ink="ink3")
        self._hints = [WrapLabel("", self, role=Role.STRONG) for _ in range(3)]
        self._entered = ReadingView(self, large=True)
        self._last = ReadingView(self, large=False)
        self._heads_up = WrapLabel("", self, role=Role.SMALL_STRONG)
        self._sentence = WrapLabel("", self)
        self._choices: tuple[Choice, ...] = ()
        self._buttons: list[AnswerButton] = []
        self._answers = QVBoxLayout()
        self._quiet = WrapLabel("", self, role=Role.SMALL, ink="ink2")
        self._save_keys = FlowRow(
            [
                KeyHint(self.tr("Enter"), self.tr("saves")),
                KeyHint(self.tr("Esc"), self.tr("clears")),
            ],
            self,
            gap=12,
        )
        self._ask_keys = FlowRow(
            [KeyHint("↓", self.tr("chooses")), WrapLabel(role=Role.SMALL, ink="ink3")], self, gap=12
        )
        alone = self._ask_keys.findChild(WrapLabel)
        if alone is not None:
            alone.setText(self.tr("Enter alone saves nothing"))
        self._lay_out()
        self.setSizePolicy(hfw_policy())
        self._show_only()
        follow_theme(self._restyle)

    @property
    def state(self) -> State:
        """What it is just now."""
        return self._state

    @property
    def sentence(self) -> str:
        """All that it says, for a screen reader."""
        return self._said

    @property
    def choices(self) -> tuple[Choice, ...]:
        """The answers that are offered."""
        return self._choices

    def show_hint(self, unit: Unit) -> None:
        """Show how a reading may be typed: the diary holds none yet."""
        examples = (
            (self.tr("112 fasting 6:50"), self.tr("138 before lunch left index"))
            if unit is Unit.MG_DL
            else (self.tr("6.2 fasting 6:50"), self.tr("7.7 before lunch left index"))
        )
        lines = (examples[0], self.tr("LO or HI after dinner"), examples[1])
        for label, line in zip(self._hints, lines, strict=True):
            label.setText(line)
        self._head.setText(self.tr("Type as you would say it"))
        self._quiet.setText(self.tr("What will be saved appears here before Enter."))
        self._said = ". ".join((self._head.text(), *lines, self._quiet.text()))
        self._become(State.HINT, self._head, *self._hints, self._quiet)

    def show_last(self, shown: Shown, when: str) -> None:
        """Show the last reading, quietly."""
        self._head.setText(self.tr("Last reading"))
        self._last.show_reading(shown)
        self._quiet.setText(when)
        self._said = f"{self._head.text()}: {shown.sentence}. {when}"
        self._become(State.LAST, self._head, self._last, self._quiet)

    def show_nothing(self) -> None:
        """Take no room at all."""
        self._said = ""
        self._become(State.EMPTY)

    def show_pending(self, shown: Shown, *, head: str, heads_up: str = "", ready: bool) -> None:
        """Show what was typed; `ready` where Enter saves it."""
        self._head.setText(head)
        self._entered.show_reading(shown)
        parts: list[QWidget] = [self._head, self._entered]
        if heads_up:
            self._heads_up.setText(heads_up)
            parts.append(self._heads_up)
        saves = self.tr("Enter saves, Esc clears") if ready else ""
        self._said = ". ".join(filter(None, (f"{head}: {shown.sentence}", heads_up, saves)))
        self._become(State.PENDING, *parts, *([self._save_keys] if ready else []))

    def show_saving(self, head: str) -> None:
        """Say that the saving goes on; what was typed stays in sight."""
        self._head.setText(self._tell(head))
        self._become(State.SAVING, self._head, self._entered)

    def show_question(
        self, title: str, shown: Shown | None, sentence: str, choices: Sequence[Choice]
    ) -> None:
        """Ask; no answer is chosen beforehand."""
        said = " ".join((title, sentence, *(choice.text for choice in choices)))
        if self._said != said:
            self._tell(said)
        self._head.setText(title)
        self._sentence.setText(sentence)
        self._offer(tuple(choices))
        parts: list[QWidget] = [self._head, self._sentence, *self._buttons]
        if shown is not None:
            self._entered.show_reading(Shown(shown.number, shown.unit, None))
            parts.append(self._entered)
        self._become(State.QUESTION, *parts, *([self._ask_keys] if choices else []))

    def focus_first(self) -> bool:
        """Go to the first answer, if there is one."""
        if self._state is not State.QUESTION or not self._buttons:
            return False
        self._buttons[0].setFocus(Qt.FocusReason.ShortcutFocusReason)
        return True

    def keyPressEvent(self, event: QKeyEvent) -> None:
        # Keys that an answer does not use come up to here.
        at = next((i for i, button in enumerate(self._buttons) if button.hasFocus()), None)
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()), 0)
        if at is not None and (event.key() == Qt.Key.Key_Escape or at + step < 0):
            self.left.emit()
        elif at is not None and step:
            to = min(at + step, len(self._buttons) - 1)
            self._buttons[to].setFocus(Qt.FocusReason.ShortcutFocusReason)
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        if self._state is State.EMPTY:
            return
        tokens, painter = tokens_now(), QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        is_dashed = self._state in _DASHED
        colour = tokens.brass if self._state is State.QUESTION else tokens.edge
        pen = QPen(QColor(colour if is_dashed else tokens.line), 1.3 if is_dashed else 1)
        if is_dashed:
            pen.setDashPattern([4.0, 2.6])
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.setBrush(QColor(tokens.field if is_dashed else tokens.ground))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), RADIUS, RADIUS)
        painter.end()

    def _tell(self, said: str) -> str:
        """Keep what it says, and tell it to a screen reader at once."""
        self._said = said
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, said))
        return said

    def _offer(self, choices: tuple[Choice, ...]) -> None:
        if choices == self._choices:
            return
        for button in self._buttons:
            self._answers.removeWidget(button)
            button.hide()
            button.deleteLater()
        self._choices = choices
        self._buttons = [AnswerButton(choice.text, choice.hint, self) for choice in choices]
        before: QWidget | None = None
        for button, choice in zip(self._buttons, choices, strict=True):
            button.clicked.connect(partial(self.answered.emit, choice.line))
            self._answers.addWidget(button)
            if before is not None:
                QWidget.setTabOrder(before, button)
            before = button

    def _become(self, state: State, *parts: QWidget) -> None:
        if state is not self._state and not self.isAncestorOf(QApplication.focusWidget() or self):
            # Out of sight while its parts change: else the column is laid out for each of them.
            self.hide()
        self._state = state
        self._show_only(*parts)
        self.setVisible(state is not State.EMPTY)
        self.updateGeometry()
        self.update()

    def _show_only(self, *parts: QWidget) -> None:
        for part in (
            self._head,
            *self._hints,
            self._entered,
            self._last,
            self._heads_up,
            self._sentence,
            *self._buttons,
            self._quiet,
            self._save_keys,
            self._ask_keys,
        ):
            if part.isHidden() is (part in parts):
                part.setVisible(part in parts)

    def _lay_out(self) -> None:
        self._column = QVBoxLayout(self)
        self._column.addWidget(self._head)
        for hint in self._hints:
            self._column.addWidget(hint)
        before: tuple[QWidget, ...] = (self._entered, self._last, self._heads_up, self._sentence)
        for part in before:
            self._column.addWidget(part)
        self._column.addLayout(self._answers)
        after: tuple[QWidget, ...] = (self._quiet, self._save_keys, self._ask_keys)
        for part in after:
            self._column.addWidget(part)

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(13), px(12), px(13), px(12))
        self._column.setSpacing(px(6))
        self._answers.setSpacing(0)
        self.update()
