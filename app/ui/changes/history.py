"""The history: every change with when, who and what; one taken back alone, or done again."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.domain.errors import DiaryError, NeedsAnswer
from app.look.type import Role
from app.ui.changes import chores
from app.ui.changes.chores import AT_ONCE, Part
from app.ui.changes.dialog import ChangesDialog
from app.ui.changes.table import ListModel, ListTable, Row
from app.ui.changes.words import (
    ACT_KEYS,
    LEAVE,
    about_words,
    by_words,
    edited_answers,
    tr,
    when_words,
)
from app.ui.controls import Button, CheckBox, WrapLabel
from app.ui.controls.drawing import RESERVE, px
from app.ui.menu_of_changes import REDO_KEYS
from app.ui.safety.errands import Errands
from app.ui.session import Session
from app.work.entry_line import Line, State
from app.work.take_back import DoneAgain, TakenBack

_WHAT = 2  # the column that takes the room there is


class HistoryDialog(ChangesDialog):
    """A list with the newest change first; 100 are loaded at a time."""

    def __init__(self, session: Session, errands: Errands, parent: QWidget) -> None:
        super().__init__(tr("History"), session, errands, parent)
        self._lines: dict[int, Line] = {}
        titles = (tr("Day"), tr("Time"), tr("What was done"), tr("Whose"), tr("By"), tr("Now"))
        self.model = ListModel(titles, self)
        self.view = ListTable(self.model, tr("Changes, the newest first"), self, wide=_WHAT)
        self.everybody = CheckBox(tr("Of &everybody"), self)
        self.everybody.hide()
        self.detail = _Detail(self)
        self.takes_back = Button(tr("&Take back selected"), self, hint=tr("Ctrl+Enter"))
        self.redoes = Button(tr("&Redo"), self, hint=tr("Ctrl+Shift+Z"))
        self.about.setText(
            tr(
                "Each change can be taken back alone, unless a later one rests on it. It stays in "
                "this list, and so does its taking back."
            )
        )
        buttons = [self.takes_back, self.redoes]
        self.lay_out([self.view, self.detail], buttons, aside=self.everybody)
        for each in buttons:
            each.setEnabled(False)
        self._connect()
        self.resize(px(820), min(px(620), parent.height()))
        self.look()
        self.view.setFocus()

    def look(self) -> None:
        """List anew what is loaded, off the GUI thread."""
        self._load(None, max(AT_ONCE, len(self._lines)))

    def selected(self) -> Line | None:
        """The selected change."""
        keys = self.view.selected()
        return self._lines.get(int(str(keys[0]))) if keys else None

    def take_back(self) -> None:
        """Take back the selected change alone."""
        line = self.selected()
        if line is not None and self.takes_back.isEnabled() and self.question is None:
            self._take_back(line.entry)

    def redo(self) -> None:
        """Do again what was taken back last."""
        if self.redoes.isEnabled() and self.question is None:
            now = self.session.now()
            self.change(partial(chores.redo, self.session.diary, self.shown, now), self._on_done)

    def back_to_list(self) -> None:
        self.view.setFocus()

    def _take_back(self, entry: int, edited: str | None = None) -> None:
        now = self.session.now()
        call = partial(chores.undo_one, self.session.diary, entry, now, edited=edited)
        self.change(call, self._on_done, partial(self._on_refused, entry))

    def _on_refused(self, entry: int, trouble: DiaryError) -> None:
        if not isinstance(trouble, NeedsAnswer):
            self.tell_trouble(trouble)
            return

        def answered(key: str) -> None:
            if key not in ("", LEAVE):
                self._take_back(entry, key)

        self.ask(trouble.questions[0].asks, edited_answers(), answered)

    def _on_done(self, done: TakenBack | DoneAgain) -> None:
        self.say(done.sentence)
        self.look()

    def _load(self, before: int | None, count: int) -> None:
        call = partial(
            chores.part,
            self.session.diary,
            self.shown,
            everybody=self.everybody.isChecked(),
            before=before,
            count=count,
        )
        self.run(call, self._on_older if before is not None else self._on_part)

    def _on_part(self, part: Part) -> None:
        kept = self.selected()
        self._lines = {line.entry: line for line in part.lines}
        self.model.show_rows([self._row(line) for line in part.lines], more=part.more)
        self.everybody.setVisible(part.several)
        self.view.fit()
        self.view.select(kept.entry if kept else None)
        again = part.steps.redo
        self.redoes.setEnabled(again is not None)
        nothing = tr("Nothing was taken back last")
        self.redoes.setToolTip(again.about if again else nothing)
        self._on_chosen()

    def _on_older(self, part: Part) -> None:
        self._lines.update((line.entry, line) for line in part.lines)
        self.model.append([self._row(line) for line in part.lines], more=part.more)
        self.view.fit()

    def _on_more(self) -> None:
        self._load(min(self._lines), AT_ONCE)

    def _row(self, line: Line) -> Row:
        day, time = when_words(line.at, self.session.now().date(), self.shown)
        whose = (line.person or "") if self.everybody.isChecked() else ""
        now = tr("taken back") if line.state is State.TAKEN_BACK else ""
        texts = (day, time, line.sentence, whose, by_words(line.by), now)
        return Row(line.entry, texts, quiet=line.state is State.TAKEN_BACK)

    def _on_chosen(self) -> None:
        line = self.selected()
        self.takes_back.setEnabled(line is not None and line.undoable)
        if line is not None:
            when = when_words(line.at, self.session.now().date(), self.shown)
            self.detail.show_line(line, ", ".join(when))
        self.may_write(self.takes_back, self.redoes)

    def _connect(self) -> None:
        self.view.chosen.connect(self._on_chosen)
        self.model.more_wanted.connect(self._on_more)
        self.takes_back.clicked.connect(self.take_back)
        self.redoes.clicked.connect(self.redo)
        self.everybody.toggled.connect(self._on_everybody)
        self.session.record_changed.connect(self.look)
        self.press(ACT_KEYS, self.take_back)
        self.press(REDO_KEYS, self.redo)

    def _on_everybody(self) -> None:
        self._lines = {}
        self.look()


class _Detail(QWidget):
    """The selected change in full: what, when and by whom, and why it can't be taken back."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.what = WrapLabel("", self)
        self.about = WrapLabel("", self, role=Role.SMALL, ink="ink2")
        self.why = WrapLabel("", self, role=Role.SMALL)
        column = QVBoxLayout(self)
        column.setContentsMargins(RESERVE, px(2), RESERVE, px(2))
        column.setSpacing(px(2))
        for each in (self.what, self.about, self.why):
            column.addWidget(each)
        column.addStretch(1)
        self.setMinimumHeight(px(64))  # the list stays where it is while one goes through it

    def show_line(self, line: Line, when: str) -> None:
        """Show one change."""
        self.what.setText(line.sentence)
        self.about.setText(about_words(line, when))
        self.why.setText(line.why_not or "")
        self.why.setVisible(line.why_not is not None)
        self.setAccessibleName(f"{line.sentence} {line.why_not or ''}".strip())
