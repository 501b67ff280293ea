"""What the page says while there is no plan: what is not there, why it matters, one way on."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.look.type import Role
from app.ui.controls import Button, FlowRow, Label, TextColumn
from app.ui.controls.drawing import px
from app.ui.plan.words import tr


class EmptyPlan(QWidget):
    """`choose` is the button that opens the plans to choose from."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, px(8), 0, px(8))
        column.setSpacing(px(6))
        column.addWidget(Label(tr("No plan yet"), self, role=Role.EMPTY, wrap=True))
        says = tr(
            "A plan says which tests are meant to happen, by the clock or by your usual times. "
            "With one, the diary shows what is due, how many of the planned tests were kept, and "
            "what the plan can never see. It is yours: begin with one of the trade's own and "
            "change it, or write your own."
        )
        column.addWidget(TextColumn(says, self, ink="ink2"))
        self.choose = Button(tr("Choose a plan…"), main=True)
        column.addWidget(FlowRow([self.choose], self, above=6))
