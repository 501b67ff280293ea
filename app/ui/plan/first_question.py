"""Asked once, when a plan is there and nobody chose yet: what else is to be reminded of."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role
from app.ui.controls import Button, FlowRow, Label, TextColumn
from app.ui.controls.drawing import paint_box, px
from app.ui.gate import writes
from app.ui.plan.reading import PlanRead
from app.ui.plan.words import tr

_NEW_DAYS = 7  # who used a plan for a week has found the switches: a rule of this diary


class FirstQuestion(QFrame):
    """Signals: answered(bool) whether follow-ups are to be reminded of beside the plan."""

    answered = Signal(bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        asks = tr("Remind also of what follows from an entry?")
        says = tr(
            "A recheck after a low and a later check, ketones after highs, tests on sick days and "
            "after a meal that began, and what is due about the kit. They are on until you say "
            "otherwise; each has its own switch below, and can be changed at any time. The "
            "caution beside a low is shown once in any case."
        )
        self.all: Button = writes(Button(tr("Yes, remind of these"), self, size="bar"))
        self.none: Button = writes(Button(tr("No, of the plan alone"), self, size="bar"))
        self._column = QVBoxLayout(self)
        self._column.addWidget(Label(asks, self, role=Role.STRONG, wrap=True))
        self._column.addWidget(TextColumn(says, self, ink="ink2"))
        self._column.addWidget(FlowRow([self.all, self.none], self, gap=4))
        self.setAccessibleName(f"{asks} {says}")
        self.all.clicked.connect(lambda: self.answered.emit(True))
        self.none.clicked.connect(lambda: self.answered.emit(False))
        follow_theme(self._restyle)
        self.hide()

    def show_for(self, read: PlanRead, *, writable: bool) -> None:
        """Ask in the first week of the first plan, while no choice was made yet."""
        today = read.grid.today.toordinal()
        is_new = bool(read.plans) and min(each.from_day for each in read.plans) > today - _NEW_DAYS
        self.setVisible(writable and is_new and not read.rules)

    def paintEvent(self, _event: QPaintEvent) -> None:
        tokens, painter = tokens_now(), QPainter(self)
        paint_box(painter, self.rect(), fill=tokens.field, edge=tokens.line)
        painter.fillRect(0, 0, px(3), self.height(), QColor(tokens.brass))
        painter.end()

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(14), px(10), px(10), px(8))
        self._column.setSpacing(px(6))
        self.update()
