"""Who writes at this computer: asked once, shown in the Now column, named in the history."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from app.domain.errors import DiaryError
from app.domain.person import checked_name
from app.store.keepers import keepers_of
from app.ui.controls import Button, Field, LineField, SectionTitle, TextColumn
from app.ui.controls.drawing import px
from app.ui.session import Session


class WhoWrites(QDialog):
    """One line for a name; left empty, nobody is named."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        title = self.tr("Who writes here")
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.name = LineField(session.diary.writer or "", self)
        self.field = Field(self.tr("&Name"), self.name, self, hint=self._hint())
        self.keeps = Button(self.tr("&Keep"), self, main=True)
        cancel = Button(self.tr("Cancel"), self)
        self._lay_out(title, cancel)
        self.keeps.clicked.connect(self.keep)
        cancel.clicked.connect(self.reject)
        self.name.textEdited.connect(self.field.clear_error)
        self.name.selectAll()
        self.name.setFocus()

    def keep(self) -> None:
        """Let every change from now on name who was typed."""
        typed = self.name.text().strip()
        try:
            name = checked_name(typed) if typed else None
        except DiaryError as trouble:
            self.field.show_error(str(trouble))
            return
        self._session.write_as(name)
        self.accept()

    def _hint(self) -> str:
        try:
            known = keepers_of(self._session.diary)
        except DiaryError:
            return ""
        return self.tr("So far: {names}").format(names=", ".join(known)) if known else ""

    def _lay_out(self, title: str, cancel: Button) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(px(24), px(20), px(24), px(16))
        column.setSpacing(px(10))
        column.addWidget(SectionTitle(title, self))
        about = TextColumn(
            self.tr(
                "Readings and changes made at this computer name this person from now on, in the "
                "list and in the history. Leave it empty and nobody is named."
            ),
            self,
        )
        about.setMinimumWidth(px(420))
        column.addWidget(about)
        column.addWidget(self.field)
        row = QHBoxLayout()
        row.addStretch()
        row.addWidget(cancel)
        row.addWidget(self.keeps)
        column.addLayout(row)
        self.keeps.setDefault(True)
