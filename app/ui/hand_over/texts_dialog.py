"""The texts of the family and the care team, typed in one window and kept as one change."""

from __future__ import annotations

from functools import partial

from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from app.domain.care import (
    CONTACTS,
    EMERGENCY_NUMBER,
    HAND_OVER,
    LOW_PLAN,
    SICK_PLAN,
    TEAM_PHONE,
    TO_WATCH,
)
from app.domain.cautions import CareTexts
from app.domain.errors import DiaryError
from app.look.theme import follow_theme
from app.look.type import Role, font
from app.ui.controls import Button, Field, FieldNote, Label, LineField, TextColumn
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled
from app.ui.gate import writes
from app.ui.hand_over.words import kind_words, tr
from app.ui.patience import Patience
from app.ui.said import Said
from app.ui.session import Session
from app.work.care import set_care_texts

_ON_ONE_LINE = (EMERGENCY_NUMBER, TEAM_PHONE)
KINDS = (CONTACTS, *_ON_ONE_LINE, LOW_PLAN, TO_WATCH, HAND_OVER, SICK_PLAN)
_LINES = 4


class LongField(QPlainTextEdit):
    """Several lines of text; Tab goes on to the next field."""

    def __init__(self, text: str, parent: QWidget | None = None) -> None:
        super().__init__(text, parent)
        self.setTabChangesFocus(True)
        follow_theme(self._restyle)

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        self.setFixedHeight(QFontMetrics(self.font()).lineSpacing() * _LINES + px(14))


class TextsDialog(QDialog):
    """One field for each text. Esc leaves; what was typed stands there again."""

    def __init__(self, session: Session, care: CareTexts, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self.person = session.person
        self._before = {kind: text_of(care, kind) for kind in KINDS}
        self._patience = Patience(self._on_saved, self._on_trouble, self._on_waiting, self)
        self.setWindowTitle(tr("Texts and contacts"))
        self.setAccessibleName(tr("Texts and contacts"))
        self.fields: dict[str, LineField | LongField] = {}
        self.trouble = FieldNote(parent=self)
        self.saves = writes(Button(tr("&Save"), self, main=True))
        self.leaves = Button(tr("Cancel"), self)
        self._lay_out()
        self.saves.clicked.connect(self._on_save)
        self.leaves.clicked.connect(self.reject)
        self.resize(px(560), px(680))

    def show_texts(self, care: CareTexts) -> None:
        """Show what the diary holds, but in fields where something else was typed meanwhile."""
        typed = self.typed()
        for kind, field in self.fields.items():
            now = text_of(care, kind)
            if typed[kind].strip() == self._before[kind].strip() and now != typed[kind]:
                field.setText(now) if isinstance(field, LineField) else field.setPlainText(now)
            self._before[kind] = now
        self.trouble.clear_error()
        self.fields[KINDS[0]].setFocus()

    def typed(self) -> dict[str, str]:
        """The text of each kind as it stands in its field."""
        return {
            kind: field.text() if isinstance(field, LineField) else field.toPlainText()
            for kind, field in self.fields.items()
        }

    def _lay_out(self) -> None:
        inner = QWidget(self)
        inner.setObjectName("scrolled")
        column = QVBoxLayout(inner)
        column.setContentsMargins(px(24), px(20), px(24), px(8))
        column.setSpacing(px(12))
        column.addWidget(Label(tr("Texts and contacts"), inner, role=Role.TITLE))
        column.addWidget(
            TextColumn(
                tr(
                    "In your own words, or as your care team gave them to you. They are shown as "
                    "typed and never read for numbers."
                ),
                inner,
                ink="ink2",
            )
        )
        for kind in KINDS:
            text = self._before[kind]
            field = LineField(text, inner) if kind in _ON_ONE_LINE else LongField(text, inner)
            self.fields[kind] = field
            column.addWidget(Field(kind_words(kind), field, inner))
        column.addStretch(1)
        area = scrolled(inner, self)
        last = QHBoxLayout()
        last.setContentsMargins(px(24), px(8), px(24), px(16))
        last.addStretch(1)
        last.addWidget(self.leaves)
        last.addWidget(self.saves)
        said = QHBoxLayout()
        said.setContentsMargins(px(24), 0, px(24), 0)
        said.addWidget(self.trouble)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(area, 1)
        whole.addLayout(said)
        whole.addLayout(last)

    def _on_save(self) -> None:
        changed = {
            kind: text
            for kind, text in self.typed().items()
            if text.strip() != self._before[kind].strip()
        }
        if not changed:
            self.accept()
            return
        session = self._session
        self._patience.do(
            partial(set_care_texts, session.diary, self.person, changed, now=session.now())
        )

    def _on_saved(self, sentence: str) -> None:
        self._before = self.typed()
        self._session.changed(Said(sentence))
        self.accept()

    def _on_trouble(self, trouble: DiaryError) -> None:
        self.trouble.show_error(str(trouble))

    def _on_waiting(self, waits: bool) -> None:
        self.saves.setEnabled(not waits)


def text_of(care: CareTexts, kind: str) -> str:
    """The text of a kind; empty where none is written."""
    return getattr(care, kind.replace(" ", "_").replace("-", "_")) or ""
