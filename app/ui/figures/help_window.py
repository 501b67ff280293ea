"""What each figure means, how it is worked out, what it needs and warns of: a list and its text."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QListWidget, QVBoxLayout, QWidget

from app.look.theme import follow_theme
from app.look.type import Role, font
from app.review.help import FigureHelp, all_help
from app.ui.controls import Button, SectionTitle, TextColumn
from app.ui.controls.drawing import px
from app.ui.figures.words import tr


class FigureHelpWindow(QDialog):
    """All figures by name; Up and Down walk them, Esc closes."""

    def __init__(self, parent: QWidget | None = None, key: str = "mean") -> None:
        super().__init__(parent)
        self._helps = all_help()
        self._keys = list(self._helps)
        self.setWindowTitle(tr("What the figures mean"))
        self.setAccessibleName(self.windowTitle())
        self.names = QListWidget(self)
        self.names.setAccessibleName(tr("Figures"))
        self.names.addItems([tr(each.title) for each in self._helps.values()])
        self.title = SectionTitle("", self)
        self.text = TextColumn("", self)
        self.text.setTextFormat(Qt.TextFormat.RichText)
        self.text.setMinimumWidth(px(380))
        self.text.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeading)
        right = QVBoxLayout()
        right.setSpacing(px(8))
        right.addWidget(self.title)
        right.addWidget(self.text, 1)
        close = Button(tr("Close"), self)
        close.clicked.connect(self.accept)
        both = QHBoxLayout()
        both.setSpacing(px(20))
        both.addWidget(self.names)
        both.addLayout(right, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(px(20), px(16), px(20), px(16))
        column.setSpacing(px(12))
        column.addLayout(both, 1)
        column.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
        self.names.currentRowChanged.connect(self._show)
        follow_theme(self._restyle)
        self.names.setCurrentRow(self._keys.index(key))
        self.names.setFocus()

    def _show(self, row: int) -> None:
        found = self._helps[self._keys[row]]
        self.title.set_text(tr(found.title))
        self.text.setText("".join(f"<p>{part}</p>" for part in _paragraphs(found)))
        self.text.setAccessibleName(". ".join((found.title, found.meaning, found.caution)))

    def _restyle(self) -> None:
        self.names.setFont(font(Role.BODY))
        wide = self.names.sizeHintForColumn(0) + px(36)
        self.names.setFixedWidth(min(wide, px(320)))
        self.resize(self.names.width() + px(520), px(480))


def _paragraphs(found: FigureHelp) -> list[str]:
    source = f"{found.source.rstrip('.')} ({tr(found.sure)})."
    named = (
        (tr("How"), found.formula),
        (tr("Needs"), found.minimum),
        (tr("Source"), source),
        (tr("Caution"), found.caution),
    )
    return [escape(tr(found.meaning)), *(f"<b>{name}.</b> {escape(text)}" for name, text in named)]
