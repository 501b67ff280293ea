"""The bin: what lies in it and how long, taken out again, emptied for good after a question."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QWidget

from app.domain.errors import DiaryError, Question
from app.ui.changes import chores
from app.ui.changes.dialog import ChangesDialog
from app.ui.changes.table import ListModel, ListTable, Row
from app.ui.changes.words import (
    ACT_KEYS,
    by_words,
    empty_words,
    item_words,
    left_words,
    tr,
    when_words,
)
from app.ui.controls import Answer, Button
from app.ui.controls.drawing import px
from app.ui.safety.errands import Errands
from app.ui.session import Session
from app.ui.words import count_words
from app.work.bin import KEPT_DAYS, Contents, Done, Item

_WHAT = 2  # the column that takes the room there is
_SURE, _LEAVE = "empty", "leave"


class BinDialog(ChangesDialog):
    """Everything in the bin, what was put there last first."""

    def __init__(self, session: Session, errands: Errands, parent: QWidget) -> None:
        super().__init__(tr("Bin"), session, errands, parent)
        when, whose = (tr("Put in"), tr("Time")), (tr("Whose"), tr("By"))
        titles = (*when, tr("What"), *whose, tr("Kept at least"))
        self.model = ListModel(titles, self)
        self.view = ListTable(
            self.model, tr("The bin, the newest first"), self, wide=_WHAT, several=True
        )
        self.restores = Button(tr("&Restore selected"), self, hint=tr("Ctrl+Enter"))
        old = tr("Empty what is &over {n} days old…").format(n=count_words(KEPT_DAYS))
        self.empties_old = Button(old, self)
        self.empties = Button(tr("&Empty the bin…"), self)
        self._buttons = (self.restores, self.empties_old, self.empties)
        self.lay_out([self.view], self._buttons)
        for each in (self.view, *self._buttons):
            each.hide()
        self._connect()
        self.resize(px(820), min(px(560), parent.height()))
        self.look()

    def look(self) -> None:
        """List anew, off the GUI thread."""
        self.run(partial(chores.in_bin, self.session.diary, self.session.now()), self._on_listed)

    def restore(self) -> None:
        """Take the selected things out of the bin."""
        codes = [str(key) for key in self.view.selected()]
        if codes and self.restores.isEnabled() and self.question is None:
            call = partial(chores.restore, self.session.diary, codes, self.session.now())
            self.change(call, self._on_done, undo=True)

    def ask_to_empty(self, *, old_only: bool) -> None:
        """Ask whether the bin, or what has lain in it for long, is to be emptied for good."""
        if self.question is None:
            session = self.session
            call = partial(chores.ask_to_empty, session.diary, session.now(), old_only=old_only)
            self.run(call, partial(self._on_asked, old_only))

    def back_to_list(self) -> None:
        (self.closes if self.view.isHidden() else self.view).setFocus()

    def _on_listed(self, found: Contents) -> None:
        kept = self.view.selected()
        several = len({item.person for item in found.items}) > 1
        self.model.show_rows([self._row(item, several=several) for item in found.items])
        there = bool(found.items)
        for each in (self.view, self.restores, self.empties):
            each.setVisible(there)
        self.empties_old.setVisible(found.old > 0)
        self.about.setText(found.sentence if there else empty_words())
        self.view.fit()
        self.view.select(kept[0] if kept else None)
        self._on_chosen()
        if self.question is None:
            self.back_to_list()

    def _row(self, item: Item, *, several: bool) -> Row:
        day, time = when_words(item.at, self.session.now().date(), self.shown)
        whose = (item.person or "") if several else ""
        texts = (day, time, item_words(item), whose, by_words(item.by), left_words(item))
        return Row(item.code, texts)

    def _on_chosen(self) -> None:
        n = len(self.view.selected())
        for each in self._buttons:
            each.setEnabled(True)
        self.restores.setEnabled(n > 0)
        self.may_write(*self._buttons)

    def _on_done(self, done: Done) -> None:
        self.say(done.sentence)
        self.look()

    def _on_asked(self, old_only: bool, question: Question) -> None:
        answers = [
            Answer(_SURE, tr("Empty it for good")),
            Answer(_LEAVE, tr("Leave everything as it is")),
        ]

        def answered(key: str) -> None:
            if key == _SURE:
                self._empty(old_only=old_only)

        self.ask(question.asks, answers, answered)

    def _empty(self, *, old_only: bool) -> None:
        for each in self._buttons:
            each.setEnabled(False)
        self.say(tr("Making a checked backup; then the bin is emptied."))
        call = partial(chores.empty, self.session.diary, self.session.now(), old_only=old_only)
        self.change(call, self._on_done, self._on_not_emptied)

    def _on_not_emptied(self, trouble: DiaryError) -> None:
        self.tell_trouble(trouble)
        self.look()

    def _connect(self) -> None:
        self.view.chosen.connect(self._on_chosen)
        self.restores.clicked.connect(self.restore)
        self.empties.clicked.connect(lambda: self.ask_to_empty(old_only=False))
        self.empties_old.clicked.connect(lambda: self.ask_to_empty(old_only=True))
        self.session.record_changed.connect(self.look)
        self.press(ACT_KEYS, self.restore)
