"""The care team's own texts as the family types them: for sick days, for lows, the telephone."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QPlainTextEdit,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.domain.care import LOW_PLAN, SICK_PLAN, TEAM_PHONE
from app.domain.errors import DiaryError
from app.look.theme import follow_theme
from app.look.type import Role, font
from app.store.people import care_texts
from app.ui.controls import Button, Field, FieldNote, Label, LineField, TextColumn
from app.ui.controls.drawing import px
from app.ui.patience import Patience
from app.ui.plan.words import tr
from app.ui.said import Said
from app.ui.session import Session
from app.work.care import set_care_texts


class CareDialog(QDialog):
    """Texts that are shown as typed and never read for numbers. Esc leaves all as it was."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        title = tr("The care team's texts")
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._patience = Patience(self._on_saved, self._on_trouble, self._on_waiting, self)
        self.sick_plan = _Text(tr("Plan for sick days"))
        self.low_plan = _Text(tr("Plan for lows"))
        self.phone = LineField(name=tr("Telephone of the care team"))
        self._trouble = FieldNote(parent=self)
        self.saves = Button(tr("&Save"), main=True)
        self.leaves = Button(tr("Cancel"))
        self._build(title)
        held = care_texts(session.diary, session.person)
        self._before = {
            SICK_PLAN: held.sick_plan or "",
            LOW_PLAN: held.low_plan or "",
            TEAM_PHONE: held.team_phone or "",
        }
        self.sick_plan.setPlainText(self._before[SICK_PLAN])
        self.low_plan.setPlainText(self._before[LOW_PLAN])
        self.phone.setText(self._before[TEAM_PHONE])
        self.saves.clicked.connect(self.submit)
        self.leaves.clicked.connect(self.reject)
        self.saves.setEnabled(session.diary.writable)
        self.resize(px(560), min(px(560), parent.height()))
        self.sick_plan.setFocus()

    def submit(self) -> None:
        """Save what was changed."""
        now = {
            SICK_PLAN: self.sick_plan.toPlainText(),
            LOW_PLAN: self.low_plan.toPlainText(),
            TEAM_PHONE: self.phone.text(),
        }
        changed = {kind: text for kind, text in now.items() if text != self._before[kind]}
        if not changed:
            self.accept()
            return
        session = self._session
        diary, person, at = session.diary, session.person, session.now()
        self._patience.do(lambda: set_care_texts(diary, person, changed, now=at))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        is_enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        held = event.modifiers() & Qt.KeyboardModifier.ControlModifier
        if is_enter and (held or self.phone.hasFocus()):
            self.submit()
        else:
            super().keyPressEvent(event)

    def _build(self, title: str) -> None:
        inner = QWidget(self)
        inner.setObjectName("scrolled")
        column = QVBoxLayout(inner)
        column.setContentsMargins(px(24), px(20), px(24), px(8))
        column.setSpacing(px(12))
        column.addWidget(Label(title, role=Role.TITLE))
        column.addWidget(
            TextColumn(
                tr(
                    "Type what your care team gave you, in its own words. It is shown as typed, on "
                    "sick days and beside a low; no number is read out of it."
                ),
                ink="ink2",
            )
        )
        for label, control in (
            (tr("Plan for sic&k days"), self.sick_plan),
            (tr("Plan for &lows"), self.low_plan),
            (tr("&Telephone of the care team"), self.phone),
        ):
            column.addWidget(Field(label, control))
        column.addStretch(1)
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setWidget(inner)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(area)
        told = QHBoxLayout()
        told.setContentsMargins(px(24), 0, px(24), 0)
        told.addWidget(self._trouble)
        whole.addLayout(told)
        last = QHBoxLayout()
        last.setContentsMargins(px(24), px(8), px(24), px(16))
        last.addStretch(1)
        last.addWidget(self.leaves)
        last.addWidget(self.saves)
        whole.addLayout(last)

    def _on_saved(self, sentence: str) -> None:
        self._session.changed(Said(sentence))
        self.accept()

    def _on_trouble(self, trouble: DiaryError) -> None:
        self._trouble.show_error(str(trouble))

    def _on_waiting(self, waits: bool) -> None:
        self._trouble.show_error(tr("Saving; the diary is busy") if waits else "")


class _Text(QPlainTextEdit):
    """A few lines of text; Tab goes on."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setTabChangesFocus(True)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        follow_theme(self._restyle)

    def sizeHint(self) -> QSize:
        return QSize(px(240), 4 * self.fontMetrics().height() + px(14))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(80), self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        held = event.modifiers() & Qt.KeyboardModifier.ControlModifier
        if event.key() == Qt.Key.Key_Escape or (enter and held):
            event.ignore()  # the window's own
        else:
            super().keyPressEvent(event)

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        self.updateGeometry()
