"""A failed control test: what it puts in doubt, what to do, and the person's word on it."""

from __future__ import annotations

from PySide6.QtCore import QRect, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from app.domain.control import STEPS_SOURCE
from app.domain.control_doubt import KEEP
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role
from app.review.kit_tests import FailLine
from app.review.kit_words import fail_words, offer_words, result_words
from app.ui.controls import Button, FlowRow, Label, TextColumn
from app.ui.controls.drawing import mirrored, paint_box, px
from app.ui.gate import writes
from app.ui.kit.words import many, tr
from app.ui.words import count_words

_BAR = 3


class FailBox(QFrame):
    """Signals: said(FailLine, str) with vial, meter or keep; shown(FailLine) for its readings."""

    said = Signal(object, str)
    shown = Signal(object)

    def __init__(self, fail: FailLine, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fail = fail
        judged = fail.failed.judged
        with_what = tr("{meter}, vial {vial}").format(meter=fail.meter, vial=fail.vial or "?")
        title = tr("The control test failed ({what}): {result}.").format(
            what=with_what, result=result_words(judged)
        )
        self._column = QVBoxLayout(self)
        self._column.addWidget(Label(title, self, role=Role.STRONG, wrap=True))
        said = [fail_words(fail), *(offer_words(each) for each in fail.offers)]
        self._column.addWidget(TextColumn(" ".join(said), self))
        if not fail.passed_since:
            self._column.addWidget(TextColumn(_steps(fail), self, role=Role.SMALL, ink="ink2"))
        self.buttons = [*self._offers(), self._list()]
        self._column.addWidget(FlowRow(self.buttons, gap=8))
        self.setAccessibleName(f"{title} {said[0]}")
        follow_theme(self._restyle)

    def _offers(self) -> list[QWidget]:
        if not self.fail.waits:
            return []
        found: list[QWidget] = []
        for offer in self.fail.offers:
            button = writes(
                Button(tr("Narrow to {name}").format(name=offer.name), self, size="bar")
            )
            button.clicked.connect(
                lambda _on=False, side=offer.side: self.said.emit(self.fail, side)
            )
            found.append(button)
        keep = writes(Button(tr("Keep all in doubt"), self, size="bar"))
        keep.clicked.connect(lambda: self.said.emit(self.fail, KEEP))
        return [*found, keep]

    def _list(self) -> QWidget:
        text = many(len(self.fail.ids), "Show the {n} in doubt", "Show the {n} in doubt")
        button = Button(text, self, size="bar")
        button.setEnabled(bool(self.fail.ids))
        button.clicked.connect(lambda: self.shown.emit(self.fail))
        return button

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        paint_box(painter, self.rect(), fill=tokens.page, edge=tokens.line, radius=0)
        painter.fillRect(mirrored(self, QRect(0, 0, _BAR, self.height())), QColor(tokens.brass))
        painter.end()

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(16), px(8), px(16), px(8))
        self._column.setSpacing(px(6))
        self.update()


def _steps(fail: FailLine) -> str:
    """What to do next, a step on each line; what was done already says so."""
    lines = [tr("What to do next ({source}):").format(source=tr(STEPS_SOURCE))]
    for number, each in enumerate(fail.steps, 1):
        done = tr(" (done)") if each.done else ""
        lines.append(f"{count_words(number)}. {tr(each.words)}{done}")
    return "\n".join(lines)
