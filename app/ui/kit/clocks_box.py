"""A stretch of a memory that looks wrong, or is not settled: what it is, and the ways on."""

from __future__ import annotations

from PySide6.QtCore import QRect, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role
from app.review.clocks import Proposal, Repair
from app.ui.controls import Button, FlowRow, Label, TextColumn
from app.ui.controls.drawing import mirrored, paint_box, px
from app.ui.gate import writes
from app.ui.kit.clocks_words import (
    disagreement_text,
    disagreement_title,
    stretch_text,
    stretch_title,
)
from app.ui.kit.words import tr

_BAR = 3
RIGHT, DOUBT, PLACE = "right", "doubt", "place"


class ClockBox(QFrame):
    """A sentence and buttons beside a bar. None is chosen beforehand.

    Signals: opened(object) to set a stretch or a repair right; said(Proposal, str) with "right" (it
    stays as it is), "doubt" or "place" (where the journey was).
    """

    opened = Signal(object)
    said = Signal(object, str)

    def __init__(self, about: Proposal | Repair, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.about = about
        if isinstance(about, Proposal):
            title, text = stretch_title(about), stretch_text(about)
            self.buttons = self._of_proposal(about)
        else:
            title, text = disagreement_title(about), disagreement_text(about)
            self.buttons = [self._opening(tr("Settle…"))]
        self._column = QVBoxLayout(self)
        self._column.addWidget(Label(title, self, role=Role.STRONG, wrap=True))
        self._column.addWidget(TextColumn(text, self))
        self._column.addWidget(FlowRow(self.buttons, gap=8))
        self.setAccessibleName(f"{title} {text}")
        follow_theme(self._restyle)

    def button(self, text: str) -> Button:
        """The button of a text."""
        return next(each for each in self.buttons if each.text() == text)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        paint_box(painter, self.rect(), fill=tokens.page, edge=tokens.line, radius=0)
        painter.fillRect(mirrored(self, QRect(0, 0, _BAR, self.height())), QColor(tokens.brass))
        painter.end()

    def _of_proposal(self, about: Proposal) -> list[Button]:
        ways = [(tr("It is right: leave as it is"), RIGHT)]
        if not any(each.in_doubt for each in about.records):
            ways.append((tr("Cannot say: keep in doubt"), DOUBT))
        if about.kind == "home_time" and about.zone is None:
            first = self._saying(tr("Say where it was…"), PLACE)
        else:
            first = self._opening(tr("Set right…"))
        return [first, *(self._saying(text, word) for text, word in ways)]

    def _opening(self, text: str) -> Button:
        button = writes(Button(text, self, size="bar"))
        button.clicked.connect(lambda _on=False: self.opened.emit(self.about))
        return button

    def _saying(self, text: str, word: str) -> Button:
        button = writes(Button(text, self, size="bar"))
        button.clicked.connect(lambda _on=False: self.said.emit(self.about, word))
        return button

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(16), px(8), px(16), px(8))
        self._column.setSpacing(px(6))
        self.update()
