"""Every version of the plan there has been, the newest first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QScrollArea, QVBoxLayout, QWidget

from app.domain.person import Person
from app.domain.plans import Plan
from app.look.type import Role
from app.ui.controls import Button, Hairline, Label, TextColumn
from app.ui.controls.drawing import px
from app.ui.plan.words import many, repeats_text, rule_name, time_text, tr, version_text
from app.ui.words import joined


class HistoryDialog(QDialog):
    """A list to read; Esc and Enter close it."""

    def __init__(self, plans: Sequence[Plan], person: Person, today: date, parent: QWidget) -> None:
        super().__init__(parent)
        title = tr("Versions of the plan")
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        inner = QWidget(self)
        inner.setObjectName("scrolled")
        column = QVBoxLayout(inner)
        column.setContentsMargins(px(24), px(20), px(24), px(8))
        column.setSpacing(px(6))
        column.addWidget(Label(title, inner, role=Role.TITLE))
        said = many(len(plans), "{n} version, as it was agreed", "{n} versions, the newest first")
        column.addWidget(Label(said, inner, ink="ink2"))
        for number, plan in reversed(list(enumerate(plans, 1))):
            column.addSpacing(px(6))
            column.addWidget(Hairline(inner))
            head = TextColumn(f"{number}. {version_text(plan, person)}", inner, role=Role.SECTION)
            column.addWidget(head)
            if plan.source:
                column.addWidget(TextColumn(plan.source, inner, role=Role.SMALL, ink="ink3"))
            for rule in plan.rules:
                words = joined(
                    (rule_name(rule), repeats_text(rule, today, person), time_text(rule, person))
                )
                column.addWidget(TextColumn(words, inner, ink="ink2"))
        column.addStretch(1)
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setWidget(inner)
        area.setAccessibleName(title)
        self.closes = Button(tr("Close"), self, main=True)
        self.closes.clicked.connect(self.accept)
        self.closes.setDefault(True)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, px(16))
        whole.addWidget(area)
        whole.addWidget(self.closes, 0, Qt.AlignmentFlag.AlignHCenter)
        self.resize(px(620), min(px(560), parent.height()))
        self.closes.setFocus()
