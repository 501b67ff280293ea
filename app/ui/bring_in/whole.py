"""The window that says what a whole diary in a file means, and makes a new diary from it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QFileDialog, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.domain.errors import DiaryError
from app.domain.steps import Step
from app.exchange.json_lines import Lines
from app.look.theme import follow_theme
from app.look.type import Role
from app.ui.bring_in.whole_doing import LookedAtWhole, WholeDoing
from app.ui.bring_in.words import tr
from app.ui.controls import Answer, Button, FieldNote, Label, TextColumn, ToAnswer
from app.ui.controls.drawing import px
from app.ui.send_out.words import people
from app.ui.words import count_words

# Where to, the file's lines and name, whom to tell how far it is; returns how many rows.
MakeAt = Callable[[Path, Lines, str, Step], int]
_LATE_MS = 300  # common practice, no source: what is quicker needs no word
_OPEN, _STAY = "open", "stay"
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class WholeDialog(QDialog):
    """Looks at one file, then brings it into a diary of its own.

    Signals: made(Path) a diary was made there and is to be opened.

    Parameters
    ----------
    file : Path
        The file that was picked.
    target : Path or None
        Where the diary is to be made, or lies empty; None asks for a new file.
    make : callable
        Brings lines into the diary at a path.
    """

    made = Signal(object)

    def __init__(
        self, file: Path, make: MakeAt, parent: QWidget, *, target: Path | None = None
    ) -> None:
        super().__init__(parent)
        self._make, self._target, self._at = make, target, Path()
        self._looked: LookedAtWhole | None = None
        self.doing = WholeDoing(self)
        title = tr("A whole diary")
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.title = Label(title, self, role=Role.TITLE)
        self.says = TextColumn("", self)
        self.means = TextColumn(_means(target), self, ink="ink2")
        self.question = ToAnswer(
            "", [Answer(_OPEN, tr("Open it now")), Answer(_STAY, tr("Stay here"))], self
        )
        self.question.hide()
        self.trouble = FieldNote(parent=self)
        self.status = Label("", self, role=Role.SMALL, ink="ink2", wrap=True)
        self.leaves = Button(tr("Cancel"), self)
        words = tr("&Bring it in") if target is not None else tr("&Make a new diary from it…")
        self.makes = Button(words, self, main=True)
        self.makes.setEnabled(False)
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.setInterval(_LATE_MS)
        self._late.timeout.connect(self._on_late)
        self._lay_out()
        self._connect()
        follow_theme(self._restyle)
        self._late.start()
        self.doing.look(file)
        self.leaves.setFocus()

    def go_on(self) -> None:
        """Bring it in, once it is known where to."""
        if self._looked is None or self.doing.making or not self.makes.isEnabled():
            return
        self.trouble.clear_error()
        if self._target is not None:
            self.make_at(self._target)
            return
        dialog = QFileDialog(self, tr("Make a new diary"), str(Path.home()))
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setNameFilter(tr("Diaries (*.thimblebook)"))
        dialog.setDefaultSuffix("thimblebook")
        dialog.selectFile(f"{Path(self._looked.name).stem or 'diary'}.thimblebook")
        dialog.setOption(QFileDialog.Option.DontConfirmOverwrite)  # a diary is never written over
        dialog.fileSelected.connect(lambda chosen: self.make_at(Path(chosen)))
        dialog.open()

    def make_at(self, path: Path) -> None:
        """Make the diary at a path where nothing lies yet, unless it was given beforehand."""
        if self._looked is None or self.doing.making:
            return
        if path != self._target and path.exists():
            said = tr("Something lies at {file} already; it was left as it is. Name a new file.")
            self.trouble.show_error(said.format(file=path))
            return
        self._at = path
        self.trouble.clear_error()
        self.doing.make(self._looked, partial(self._make, path))

    def reject(self) -> None:
        if self.doing.making:
            self.doing.stop()
        else:
            super().reject()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in _ENTER and not isinstance(self.focusWidget(), QPushButton):
            self.go_on()
        else:
            super().keyPressEvent(event)

    def _on_looked(self, looked: LookedAtWhole) -> None:
        self._looked = looked
        self._quiet()
        self.says.setText(_said(looked))
        self.makes.setEnabled(True)
        self.makes.setFocus()

    def _on_made(self, rows: int) -> None:
        if self._target is not None:
            self.accept()
            self.made.emit(self._at)
            return
        said = tr("{file} was made, with {n} rows. The diary that is open is as it was.")
        self.question.set_sentence(said.format(file=self._at, n=count_words(rows)))
        self.question.show()
        self.makes.hide()
        self.leaves.setText(tr("Close"))
        self.question.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _on_answer(self, key: str) -> None:
        self.accept()
        if key == _OPEN:
            self.made.emit(self._at)

    def _on_failed(self, trouble: BaseException) -> None:
        if not isinstance(trouble, DiaryError):
            raise trouble
        self._quiet()
        self.trouble.show_error(str(trouble))
        self.leaves.setFocus()

    def _on_busy(self, busy: bool) -> None:
        self.makes.setEnabled(not busy)
        self.leaves.setText(tr("Stop") if busy else tr("Cancel"))
        if busy:
            self._late.start()
            self.leaves.setFocus()
        else:
            self._quiet()

    def _on_stepped(self, done: int, of: int) -> None:
        if self.doing.making and not self._late.isActive() and of:
            said = tr("Bringing in: {n} %")
            self.status.setText(said.format(n=count_words(100 * done // of)))

    def _on_late(self) -> None:
        making = self.doing.making
        self.status.setText(tr("Bringing in…") if making else tr("Reading the file…"))

    def _quiet(self) -> None:
        self._late.stop()
        self.status.setText("")

    def _connect(self) -> None:
        doing = self.doing
        doing.looked.connect(self._on_looked)
        doing.made.connect(self._on_made)
        doing.failed.connect(self._on_failed)
        doing.stepped.connect(self._on_stepped)
        doing.busy_changed.connect(self._on_busy)
        self.question.answered.connect(self._on_answer)
        self.leaves.clicked.connect(self.reject)
        self.makes.clicked.connect(self.go_on)

    def _lay_out(self) -> None:
        self._column = QVBoxLayout(self)
        for part in (self.title, self.says, self.means, self.question, self.trouble, self.status):
            self._column.addWidget(part)
        self._column.addStretch(1)
        last = QHBoxLayout()
        last.setSpacing(4)
        last.addStretch(1)
        last.addWidget(self.leaves)
        last.addWidget(self.makes)
        self._column.addLayout(last)

    def _restyle(self) -> None:
        self._column.setContentsMargins(px(24), px(20), px(24), px(16))
        self._column.setSpacing(px(10))
        parent = self.parentWidget()
        room = parent.width() - 24 if parent is not None else px(560)
        self.setMinimumWidth(min(px(560), room))


def _said(looked: LookedAtWhole) -> str:
    header = looked.lines.header
    readings = header.rows.get("reading", 0)
    said = tr(
        "{file} holds a whole diary, written on {day}: {people}; {readings} readings, {rows} rows "
        "in all."
    )
    return said.format(
        file=looked.name,
        day=_day(header.made_at),
        people=people(looked.persons) or tr("nobody"),
        readings=count_words(readings),
        rows=count_words(looked.rows),
    )


def _day(made_at: str) -> str:
    try:
        return datetime.fromisoformat(made_at).date().isoformat()
    except ValueError:
        return made_at[:40]


def _means(target: Path | None) -> str:
    if target is not None:
        return tr(
            "Everything in it comes into the new diary, with all people and their settings; "
            "nothing else has to be answered."
        )
    return tr(
        "It can't be mixed with the diary that is open. A new diary is made from it, in a file of "
        "its own; the one that is open stays as it is."
    )
