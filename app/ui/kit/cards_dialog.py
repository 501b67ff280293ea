"""The cards on technique, to be read through."""

from __future__ import annotations

from PySide6.QtWidgets import QDialog, QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from app.domain.cards import technique_cards
from app.look.type import Role
from app.ui.controls import Button, Hairline, SectionTitle, TextColumn
from app.ui.controls.drawing import px
from app.ui.kit.words import tr

_WIDE, _HIGH = 620, 600  # at a text size of 13 px


class CardsDialog(QDialog):
    """Six short texts with their sources. The arrows scroll; Esc and Enter close it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        title = tr("Technique")
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        inner = QWidget(self)
        inner.setObjectName("scrolled")
        column = QVBoxLayout(inner)
        column.setContentsMargins(px(24), px(16), px(24), px(8))
        column.setSpacing(px(4))
        note = tr("your own leaflets come first")
        column.addWidget(SectionTitle(title, inner, note=note))
        for card in technique_cards():
            column.addSpacing(px(4))
            column.addWidget(Hairline(inner))
            column.addWidget(TextColumn(tr(card.title), inner, role=Role.STRONG))
            column.addWidget(TextColumn(tr(card.says), inner))
            source = TextColumn(card.source_line, inner, role=Role.SMALL, ink="ink3")
            column.addWidget(source)
        column.addStretch(1)
        self.area = QScrollArea(self)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setWidgetResizable(True)
        self.area.setWidget(inner)
        self.area.setAccessibleName(
            " ".join(f"{tr(each.title)}. {tr(each.says)}" for each in technique_cards())
        )
        self.leave = Button(tr("Close"), self)
        self.leave.clicked.connect(self.accept)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, px(12))
        whole.addWidget(self.area, 1)
        row = QHBoxLayout()
        row.setContentsMargins(px(24), 0, px(24), 0)
        row.addStretch(1)
        row.addWidget(self.leave)
        whole.addLayout(row)
        window = parent.window() if parent is not None else None
        self.resize(px(_WIDE), px(_HIGH) if window is None else min(px(_HIGH), window.height()))
        self.area.setFocus()
