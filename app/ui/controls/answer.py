"""Something that only the person can answer: a sentence and its answers, none chosen beforehand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QButtonGroup, QFrame, QHBoxLayout, QVBoxLayout, QWidget

from app.look.theme import follow_theme, tokens_now
from app.ui.controls.buttons import Button
from app.ui.controls.drawing import RESERVE, mirrored, paint_box, paint_ring, px
from app.ui.controls.flow import FlowRow
from app.ui.controls.folding import FoldingRow
from app.ui.controls.labels import Label

_BAR = 3
_MOST_BESIDE = 5  # more answers stand below the sentence, in as many lines as they need
_DOWN = (Qt.Key.Key_Down, Qt.Key.Key_Right)
_UP = (Qt.Key.Key_Up, Qt.Key.Key_Left)


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer: the key that `answered` carries, its text, and quiet words on what it means."""

    key: str
    text: str
    hint: str = ""


class ToAnswer(QFrame):
    """A box with a bar at its leading edge, a sentence and buttons. Signals: answered(key).

    Enter alone saves nothing: no answer is chosen until Down or Tab goes to one. Left, right, up
    and down walk between them.

    Parameters
    ----------
    sentence : str
        What is asked, and what will be kept.
    answers : sequence of Answer
        No one of them is chosen beforehand.
    lead : str
        Words in the heavier weight before the sentence.
    bar : str
        The colour token of the bar: "brass", or "very_low" for a low.
    stacked : bool
        The answers below each other under the sentence, for a narrow column.
    """

    answered = Signal(str)

    def __init__(
        self,
        sentence: str,
        answers: Sequence[Answer],
        parent: QWidget | None = None,
        *,
        lead: str = "",
        bar: str = "brass",
        stacked: bool = False,
    ) -> None:
        super().__init__(parent)
        self._bar = bar
        self._words = Label("", self, wrap=True)
        self._words.setTextFormat(Qt.TextFormat.RichText)
        self._buttons = [
            Button(answer.text, self, hint=answer.hint, wide=stacked) for answer in answers
        ]
        self._answers = tuple(answers)
        self._group = QButtonGroup(self)
        self._group.setExclusive(False)
        for at, button in enumerate(self._buttons):
            self._group.addButton(button, at)
        self._group.idClicked.connect(self._on_clicked)
        self._column = QVBoxLayout(self)
        self._lay_out(stacked=stacked)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.set_sentence(sentence, lead=lead)
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._on_focus_changed)
        follow_theme(self._restyle)

    def set_sentence(self, sentence: str, *, lead: str = "") -> None:
        """Change what is asked."""
        bold = f"<b>{escape(lead)}</b> " if lead else ""
        self._words.setText(bold + escape(sentence))
        self.setAccessibleName(f"{lead} {sentence}".strip())

    def focus_first(self) -> None:
        """Go to the first answer, as Down does."""
        self._buttons[0].setFocus(Qt.FocusReason.ShortcutFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        # Keys that a button does not use come up to here; Enter stops here and does nothing.
        key = Qt.Key(event.key())
        step = 1 if key in _DOWN else -1 if key in _UP else 0
        if self.layoutDirection() is Qt.LayoutDirection.RightToLeft and key in (
            Qt.Key.Key_Left,
            Qt.Key.Key_Right,
        ):
            step = -step
        if step:
            self._step(step)
        elif key not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        bar: str = getattr(tokens, self._bar)
        inside = self.isAncestorOf(QApplication.focusWidget() or self)
        paint_box(
            painter, self.rect(), fill=tokens.field, edge=bar if inside else tokens.line, radius=0
        )
        painter.fillRect(mirrored(self, QRect(0, 0, _BAR, self.height())), QColor(bar))
        if self.hasFocus():
            paint_ring(painter, self.rect().adjusted(_BAR + 2, 3, -3, -3), tokens.ink)
        painter.end()

    def _step(self, step: int) -> None:
        at = next((i for i, button in enumerate(self._buttons) if button.hasFocus()), None)
        if at is None:
            self.focus_first()
        elif 0 <= at + step < len(self._buttons):
            self._buttons[at + step].setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _lay_out(self, *, stacked: bool) -> None:
        self._words.setContentsMargins(RESERVE, 0, RESERVE, 0)  # in line with the buttons' edges
        if stacked:
            self._column.addWidget(self._words)
            for button in self._buttons:
                self._column.addWidget(button)
            return
        if len(self._buttons) > _MOST_BESIDE:
            self._column.addWidget(self._words)
            self._column.addWidget(FlowRow(self._buttons, self, gap=4))
            return
        side = QWidget(self)
        row = QHBoxLayout(side)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        for button in self._buttons:
            row.addWidget(button)
        self._column.addWidget(FoldingRow(self._words, side, self))

    def _on_clicked(self, at: int) -> None:
        self.answered.emit(self._answers[at].key)

    def _on_focus_changed(self, _old: QWidget | None, _new: QWidget | None) -> None:
        self.update()

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(12), px(8), px(12), px(8))
        self._column.setSpacing(px(2))
        self.update()
