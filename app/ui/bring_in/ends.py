"""The foot of the import: what was noticed, whether to remember how it was read, and Save."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.ui.bring_in.words import save_words, tr
from app.ui.controls import Button, CheckBox, FoldingRow, Label
from app.ui.controls.drawing import px
from app.ui.gate import writes
from app.ui.words import count_words
from app.work.picked import LookedAtPicked, Wish
from app.work.row_answers import RowAnswers

_BUSY_MS = 300  # common practice, no source: what is quicker needs no word


class Ends(QWidget):
    """Signals: save_asked(), left()."""

    save_asked = Signal()
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.remember = CheckBox(
            tr("Read the next file like this one the same way"), self, checked=True
        )
        self.said = Label("", self, ink="ink2", wrap=True)
        self.cancel = Button(tr("Cancel"), self, size="form")
        self.save = writes(Button(tr("Save"), self, main=True, size="form"))
        self._busy = self._saving = False
        self._step = ""  # how far a save has come, in words
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.setInterval(_BUSY_MS)
        self._late.timeout.connect(self._on_late)
        self.cancel.clicked.connect(self.left)
        self.save.clicked.connect(self.save_asked)
        buttons = QWidget()
        row = QHBoxLayout(buttons)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(px(8))
        row.addWidget(self.cancel)
        row.addWidget(self.save)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(4))
        column.addWidget(self.remember)
        column.addWidget(FoldingRow(self.said, buttons, self, main_px=160))
        self.show_nothing()

    def show_nothing(self) -> None:
        """No file was looked at yet."""
        self.remember.hide()
        self.said.setText("")
        self.save.setText(tr("Save"))
        self.save.setEnabled(False)

    def show_looked(self, looked: LookedAtPicked, wish: Wish) -> None:
        """Say what Save would save, and what is worth knowing before."""
        found = looked.found
        new, linked = (0, 0) if found is None else (found.account.new, found.linked)
        # A new copy of a memory is kept even where it adds nothing: it says what was copied.
        keeps_copy = found is not None and not new and not linked and wish.meter is not None
        said = tr("Save") if found is None else save_words(new, linked, keeps_copy=keeps_copy)
        self.save.setText(said)
        self.save.setEnabled(bool(new or linked or keeps_copy) and not self._saving)
        changed = replace(wish, meter=None, answers=RowAnswers()) != Wish()
        known = found is not None and bool(looked.read.signature) and not looked.read.ours
        self.remember.setVisible(known and changed)
        notes = () if found is None else found.notes
        kept = tr("Refused and held rows are kept in a list; the file itself is not changed.")
        if not self._busy:
            self.said.setText(" ".join([*notes, kept]) if found is not None else "")

    @property
    def remembers(self) -> bool:
        """Whether the way of reading is to be kept."""
        return not self.remember.isHidden() and self.remember.isChecked()

    def show_busy(self, busy: bool, *, saving: bool) -> None:
        """Say, after a moment, that something goes on; a save can be stopped."""
        self._busy, self._saving = busy, saving
        self.cancel.setText(tr("Stop") if saving else tr("Cancel"))
        self.remember.setEnabled(not saving)
        if saving:
            if self.save.hasFocus():
                self.cancel.setFocus()
            self.save.setEnabled(False)
        else:
            self._step = ""
        if not busy:
            self._late.stop()
        elif not self._late.isActive():
            self._late.start()

    def show_step(self, done: int, of: int) -> None:
        """Say how far a save has come, once it has lasted a moment."""
        if self._saving:
            words = tr("Saving: {done} of {all} rows")
            self._step = words.format(done=count_words(done), all=count_words(of))
            if not self._late.isActive():
                self.said.setText(self._step)

    def _on_late(self) -> None:
        saving = self._step or tr("Saving…")
        self.said.setText(saving if self._saving else tr("Reading the file…"))
