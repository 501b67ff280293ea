"""A person taken out of the diary: the name is typed once more, and a backup goes before."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QWidget

from app.domain.errors import DiaryError
from app.domain.person import Person
from app.ui.changes import chores
from app.ui.changes.dialog import ChangesDialog
from app.ui.changes.words import tr
from app.ui.controls import Button, Field, LineField
from app.ui.controls.drawing import RESERVE, px
from app.ui.safety.errands import Errands
from app.ui.session import Session
from app.ui.words import count_words
from app.work.bin import KEPT_DAYS, Done


class RemoveDialog(ChangesDialog):
    """Says what goes and what stays; nothing happens until the name was typed again."""

    def __init__(self, session: Session, errands: Errands, parent: QWidget) -> None:
        self.person: Person = session.person
        title = tr("Remove {name}").format(name=self.person.name)
        super().__init__(title, session, errands, parent)
        readings = len(session.record.columns) + session.record.columns.undated
        self.about.setText(
            tr(
                "{name} goes into the bin, with {readings} and every note, goal and setting. A "
                "checked backup is made first. Undo and the bin bring all of it back: the bin for "
                "at least {days} days, until it is emptied."
            ).format(
                name=self.person.name,
                readings=tr("1 reading")
                if readings == 1
                else tr("{n} readings").format(n=count_words(readings)),
                days=count_words(KEPT_DAYS),
            )
        )
        self.name = LineField(parent=self)
        self.field = Field(tr("Type the &name once more"), self.name, self)
        self.removes = Button(tr("&Put into the bin"), self, main=True)
        self.field.setContentsMargins(RESERVE, 0, RESERVE, 0)
        self.lay_out([self.field], [], grows=False, main=self.removes, closes=tr("Cancel"))
        self.removes.clicked.connect(self.remove)
        self.name.returnPressed.connect(self.remove)
        self.name.textEdited.connect(self.field.clear_error)
        self.may_write(self.removes)
        self.resize(px(520), px(200))
        self.grow()
        self.name.setFocus()

    def remove(self) -> None:
        """Put the person into the bin, if the name is right."""
        if not self.removes.isEnabled():
            return
        typed = self.name.text().strip()
        if not typed:
            self.field.show_error(tr("Type the name first; nothing was changed."))
            self.grow()
            return
        self._set_waiting(True)
        self.say(tr("Making a checked backup."))
        session = self.session
        call = partial(chores.remove, session.diary, self.person, typed, session.now())
        self.change(call, self._on_removed, self._on_not_removed, undo=True)

    def _on_removed(self, _done: Done) -> None:
        self.accept()

    def _on_not_removed(self, trouble: DiaryError) -> None:
        self._set_waiting(False)
        self.say("")
        self.field.show_error(str(trouble))
        self.grow()
        self.name.setFocus()

    def _set_waiting(self, waits: bool) -> None:
        self.name.setReadOnly(waits)
        self.removes.setEnabled(not waits)
