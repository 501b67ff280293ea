"""The backups of a diary: which there are, one put in its place, and a second place for copies."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QFileDialog, QHBoxLayout, QVBoxLayout, QWidget

from app.domain.errors import DiaryError
from app.look.type import Role
from app.store.backup_facts import BackupFacts
from app.ui.controls import (
    Answer,
    Button,
    FieldNote,
    FlatButton,
    Hairline,
    Label,
    ToAnswer,
    WrapLabel,
)
from app.ui.controls.drawing import RESERVE, px
from app.ui.gate import writes
from app.ui.safety import chores
from app.ui.safety.backups_model import BackupsModel, Listed
from app.ui.safety.backups_table import BackupsTable
from app.ui.safety.errands import Errands
from app.ui.safety.words import backed_up_words, backup_words, readings_words, tr

if TYPE_CHECKING:
    from app.ui.session import Session
    from app.work.keeping import Kept

_SURE, _LEAVE = "restore", "leave"


class BackupsDialog(QDialog):
    """A list with the newest first. Signals: restore_asked(Path), made(Kept) a backup was made.

    Parameters
    ----------
    errands : Errands
        What runs off the GUI thread; it outlives this window.
    chosen : Path, optional
        The backup that is selected at first; else the newest.
    """

    restore_asked = Signal(object)
    made = Signal(object)

    def __init__(
        self,
        session: Session,
        state: Path,
        errands: Errands,
        parent: QWidget,
        *,
        chosen: Path | None = None,
    ) -> None:
        super().__init__(parent)
        self._session, self._state, self._chosen = session, state, chosen
        self.place: Path | None = None
        self.setWindowTitle(tr("Backups"))
        self.setAccessibleName(tr("Backups"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.model = BackupsModel(self)
        self.view = BackupsTable(self.model, self)
        self.where = WrapLabel("", self, role=Role.SMALL, ink="ink2")
        self.restores = Button(tr("&Restore selected…"), self)
        self.backs_up = writes(Button(tr("&Back up now"), self))
        self.question = ToAnswer(
            "",
            [Answer(_SURE, tr("Restore it")), Answer(_LEAVE, tr("Leave everything as it is"))],
            self,
        )
        self.second = WrapLabel("", self)
        self.chooses = Button(tr("&Choose a folder…"), self)
        self.stops = FlatButton(tr("Keep no copies there"), self, underlined=True)
        self.note = FieldNote(parent=self)
        self._errands, self._shut = errands, False
        self._lay_out()
        self._connect()
        self.resize(px(760), px(560))
        self.look()

    def look(self) -> None:
        """List anew, off the GUI thread."""
        diary, state = self._session.diary, self._state
        self._run(partial(chores.listed, diary, state), self._on_listed)

    def keep_also_in(self, folder: Path | None) -> None:
        """Keep copies in a second place from now on; None ends that."""
        self.note.clear_error()
        call = partial(chores.choose_place, self._session.diary, self._state, folder)
        self._run(call, lambda _: self.look())

    def restore(self) -> None:
        """Say what putting the selected backup in place means, and ask."""
        facts = self.selected()
        if facts is None:
            return
        present = len(self._session.record.columns) if self._session.has_person else 0
        sentence = tr(
            "The backup of {backup} takes the diary's place. The diary of now ({readings} of the "
            "person shown) is set aside whole among the backups, so that this can be taken back."
        ).format(backup=backup_words(facts), readings=readings_words(present))
        self.question.set_sentence(sentence)
        self.question.show()
        self.question.setFocus()

    def selected(self) -> BackupFacts | None:
        """The selected backup."""
        rows = self.view.selectionModel().selectedRows()
        return self.model.backup(rows[0].row()) if rows else None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and not self.question.isHidden():
            self._on_answer(_LEAVE)
        else:
            super().keyPressEvent(event)

    def done(self, result: int) -> None:
        self._shut = True  # what is under way goes on; nobody is here to be told
        super().done(result)

    def _run(self, call: Callable[[], object], then: Callable[[Any], object]) -> None:
        def told(found: object) -> None:
            if not self._shut:
                then(found)

        def failed(trouble: DiaryError) -> None:
            if not self._shut:
                self.note.show_error(str(trouble))

        self._errands.run(call, told, failed)

    def _on_listed(self, found: tuple[list[Listed], Path | None]) -> None:
        rows, self.place = found
        kept = self.selected()
        wanted = self._chosen or (kept.path if kept else None)
        order = self._session.person.date_order if self._session.has_person else "dmy"
        self.model.show_backups(rows, order)
        self.view.fit()
        at = self.model.row_of(wanted)
        if rows:
            self.view.selectRow(at or 0)
        self.restores.setEnabled(bool(rows))
        folder = self._session.diary.path.resolve().parent / "backups"
        self.where.setText(
            tr(
                "In {folder}. One a day is kept for 7 days, one a week for 4 weeks, one a month "
                "for 12 months; those that were asked for stay."
            ).format(folder=folder)
            if rows
            else tr("There is no backup yet. They are kept in {folder}.").format(folder=folder)
        )
        self.second.setText(
            tr("Also kept in {folder}").format(folder=self.place)
            if self.place
            else tr(
                "On this computer alone: if its disk breaks, diary and backups are lost "
                "together. A folder on another disk helps."
            )
        )
        self.stops.setVisible(self.place is not None)

    def _on_made(self, kept: Kept) -> None:
        self.made.emit(kept)
        self.note.set_hint(" ".join((backed_up_words(kept.made[0]), *kept.trouble)))
        self.look()

    def _on_back_up(self) -> None:
        self.note.clear_error()
        call = partial(chores.back_up, self._session.diary, self._state, self._session.now())
        self._run(call, self._on_made)

    def _on_answer(self, key: str) -> None:
        facts = self.selected()
        self.question.hide()
        self.view.setFocus()
        if key == _SURE and facts is not None:
            self.accept()
            self.restore_asked.emit(facts.path)

    def _on_choose(self) -> None:
        dialog = QFileDialog(self, tr("Also keep copies in"), str(self.place or Path.home()))
        dialog.setFileMode(QFileDialog.FileMode.Directory)
        dialog.fileSelected.connect(lambda chosen: self.keep_also_in(Path(chosen)))
        dialog.open()

    def _connect(self) -> None:
        self.restores.clicked.connect(self.restore)
        self.view.activated.connect(lambda _index: self.restore())
        self.question.answered.connect(self._on_answer)
        self.backs_up.clicked.connect(self._on_back_up)
        self.chooses.clicked.connect(self._on_choose)
        self.stops.clicked.connect(lambda: self.keep_also_in(None))
        if self._session.why_not:
            self.backs_up.setEnabled(False)
            self.backs_up.setToolTip(self._session.why_not)

    def _lay_out(self) -> None:
        self.question.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(px(24), px(20), px(24), px(16))
        column.setSpacing(px(8))
        column.addLayout(_said(Label(tr("Backups"), self, role=Role.TITLE), self.where))
        column.addWidget(self.view, 1)
        column.addWidget(self.question)
        acts = QHBoxLayout()
        acts.setSpacing(px(4))
        acts.addWidget(self.restores)
        acts.addWidget(self.backs_up)
        acts.addStretch(1)
        column.addLayout(acts)
        column.addWidget(Hairline(self))
        title = Label(tr("Also keep copies in a second place"), self, role=Role.SECTION)
        column.addLayout(_said(title, self.second))
        places = QHBoxLayout()
        places.setSpacing(px(4))
        places.addWidget(self.chooses)
        places.addWidget(self.stops)
        places.addStretch(1)
        close = Button(tr("Close"), self)
        close.clicked.connect(self.accept)
        places.addWidget(close)
        column.addLayout(places)
        column.addWidget(self.note)


def _said(*words: QWidget) -> QVBoxLayout:
    """Texts in line with the edges of the buttons below them."""
    column = QVBoxLayout()
    column.setContentsMargins(RESERVE, 0, RESERVE, 0)
    column.setSpacing(px(6))
    for each in words:
        column.addWidget(each)
    return column
