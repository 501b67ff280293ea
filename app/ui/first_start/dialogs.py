"""The same questions for another person, and for changing what was answered."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from app.domain.errors import DiaryError
from app.domain.person import Person
from app.domain.targets import in_force
from app.look.type import Role
from app.store.people import care_texts
from app.store.wishes import usual_times
from app.ui.controls import Button, FieldNote, Label
from app.ui.controls.drawing import px
from app.ui.controls.scrolled import scrolled
from app.ui.first_start.form import PersonForm
from app.ui.patience import Patience
from app.ui.said import Said
from app.ui.session import Session
from app.work.people import ALWAYS
from app.work.settings import begin_person, change_settings


def tr(text: str) -> str:
    """Translate a text of these windows."""
    return QCoreApplication.translate("Dialogs", text)


def ask_for_person(session: Session, parent: QWidget) -> PersonDialog:
    """Ask for another person and show the new one."""

    def save(form: PersonForm) -> Callable[[], Person]:
        wishes = form.wishes(targets_from=ALWAYS)
        return partial(begin_person, session.diary, wishes, now=session.now())

    def saved(person: Person) -> None:
        session.choose(person)
        session.said.emit(Said(tr("Added {name}.").format(name=person.name)))

    dialog = PersonDialog(tr("Another person"), tr("&Add"), save, saved, parent)
    dialog.open()
    return dialog


def ask_for_settings(session: Session, parent: QWidget) -> PersonDialog:
    """Show how the person has things, and change what is changed there."""
    person = session.person
    today = session.today().toordinal()

    def save(form: PersonForm) -> Callable[[], Person]:
        wishes = form.wishes(targets_from=today)
        return partial(change_settings, session.diary, person, wishes, now=session.now())

    def saved(changed: Person) -> None:
        session.changed(Said(tr("Changed the settings of {name}.").format(name=changed.name)))

    held = in_force(session.record.targets, today)
    times = usual_times(session.diary, person)
    number = care_texts(session.diary, person).emergency_number or ""
    dialog = PersonDialog(tr("Settings"), tr("&Save"), save, saved, parent)
    dialog.form.show_person(person, times, held.name if held else None, number)
    dialog.open()
    return dialog


class PersonDialog(QDialog):
    """The questions in a window of their own; Esc leaves everything as it was."""

    def __init__(
        self,
        title: str,
        button: str,
        save: Callable[[PersonForm], Callable[[], Person]],
        saved: Callable[[Person], None],
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._save, self._saved = save, saved
        self._patience = Patience(self._on_saved, self._on_trouble, self._on_waiting, self)
        self.form = PersonForm(self)
        self._trouble = FieldNote(parent=self)
        self.saves = Button(button, self, main=True)
        leave = Button(tr("Cancel"), self)
        inner = QWidget(self)
        inner.setObjectName("scrolled")
        column = QVBoxLayout(inner)
        column.setContentsMargins(px(24), px(20), px(24), px(8))
        column.setSpacing(px(14))
        column.addWidget(Label(title, inner, role=Role.TITLE))
        column.addWidget(self.form)
        area = scrolled(inner, self)
        last = QHBoxLayout()
        last.setContentsMargins(px(24), px(8), px(24), px(16))
        last.addStretch(1)
        last.addWidget(leave)
        last.addWidget(self.saves)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(area)
        row = QHBoxLayout()
        row.setContentsMargins(px(24), 0, px(24), 0)
        row.addWidget(self._trouble)
        whole.addLayout(row)
        whole.addLayout(last)
        self.resize(px(680), min(px(720), parent.height()))
        self.saves.clicked.connect(self._on_save)
        leave.clicked.connect(self.reject)
        self.form.changed.connect(self._trouble.clear_error)
        self.form.name.setFocus()

    def _on_save(self) -> None:
        try:
            call = self._save(self.form)
        except DiaryError as trouble:
            self._on_trouble(trouble)
            return
        self._patience.do(call)

    def _on_saved(self, person: Person) -> None:
        try:
            self._saved(person)
        except DiaryError as trouble:  # it is saved; that it can't be shown is another thing
            self._on_trouble(trouble)
            return
        self.accept()

    def _on_trouble(self, trouble: DiaryError) -> None:
        self._trouble.show_error(str(trouble))

    def _on_waiting(self, waits: bool) -> None:
        self._trouble.show_error(tr("Saving; the diary is busy") if waits else "")
        self.form.setEnabled(not waits)
        self.saves.setEnabled(not waits)
