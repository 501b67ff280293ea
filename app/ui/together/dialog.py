"""Bringing another copy of the diary in: choose it, look, do it; then settle what is open."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from app.domain.errors import DiaryError
from app.store.probably_one import ONE, TWO
from app.ui.changes import chores as changes
from app.ui.changes.dialog import ChangesDialog
from app.ui.changes.table import Row
from app.ui.changes.words import when_words
from app.ui.controls import Button
from app.ui.controls.drawing import px
from app.ui.safety.errands import Errands
from app.ui.safety.working import Working
from app.ui.session import Session
from app.ui.together import chores
from app.ui.together.body import TogetherBody
from app.ui.together.words import (
    about_words,
    account_words,
    leftover_words,
    none_open_words,
    pair_words,
    stopped_words,
    tr,
    versions_words,
)
from app.work.leftovers import OTHER, SHOWN, Answered, Leftover, Leftovers, OpenPair
from app.work.take_back import TakenBack
from app.work.together import Together


class TogetherDialog(ChangesDialog):
    """What came of a look or of bringing in, above the list of what is open.

    Every answer is a change of its own, which undo takes back, here and later.
    """

    def __init__(self, session: Session, errands: Errands, parent: QWidget) -> None:
        super().__init__(tr("Bring together"), session, errands, parent)
        self.file: Path | None = None
        self._open: dict[str, OpenPair | Leftover] = {}
        self._working: Working | None = None
        self._found: Together | None = None
        self._answers: list[int] = []  # those given here, by the numbers of their changes
        self._last = ""  # the newest in a sentence
        self.body = TogetherBody(self)
        self.view = self.body.view
        self.chooses = Button(tr("&Choose the copy…"), self)
        self.stops = Button(tr("&Stop"), self)
        self.brings = Button(tr("&Bring together"), self, main=True)
        self.lay_out([self.body], [self.chooses, self.stops], main=self.brings)
        self.stops.hide()
        self.brings.hide()
        self.about.setText(about_words())
        self._connect()
        self.resize(min(px(820), parent.width()), min(px(620), parent.height()))
        self.may_write(self.chooses)
        self.look()

    def look(self) -> None:
        """List anew what is open, off the GUI thread."""
        self.run(partial(chores.open_now, self.session.diary), self._on_open)

    def choose(self) -> None:
        """Ask for the file of the other copy."""
        dialog = QFileDialog(self, tr("The other copy"), str(self.session.diary.path.parent))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.fileSelected.connect(lambda chosen: self.look_at(Path(chosen)))
        dialog.open()

    def look_at(self, file: Path) -> None:
        """Say what bringing a copy in would give; nothing is changed."""
        self.file = file
        self.body.show_account("")
        self._work(
            chores.look, file, tr("Looking at {name}.").format(name=file.name), self._on_look
        )

    def bring(self) -> None:
        """Bring the copy in that was looked at."""
        if self.file is not None and self.brings.isEnabled():
            words = tr("Making a checked backup; then {name} is brought in.")
            said = words.format(name=self.file.name)
            self._work(chores.bring, self.file, said, self._on_brought)

    def stop(self) -> None:
        """Let what is under way end; both copies are as they were then."""
        if self._working is not None:
            self._working.stop()

    def say_of_pair(self, verdict: str, *, every: bool = False) -> None:
        """Say of the selected pair, or of all, whether each is one or two."""
        chosen = self.selected()
        found = [each for each in self._open.values() if isinstance(each, OpenPair)]
        pairs = found if every else [chosen] if isinstance(chosen, OpenPair) else []
        if pairs:
            call = partial(chores.rule, self.session.diary, pairs, verdict, self.session.now())
            self.change(call, self._on_said, undo=self._is_shown(pairs[0]))

    def settle(self, keep: str) -> None:
        """Keep one of the two versions of what is selected."""
        chosen = self.selected()
        if isinstance(chosen, Leftover):
            call = partial(chores.settle, self.session.diary, chosen, keep, self.session.now())
            self.change(call, self._on_said, undo=self._is_shown(chosen))

    def take_back(self) -> None:
        """Take back the newest answer."""
        if self._answers:
            entry, now = self._answers[-1], self.session.now()
            call = partial(changes.undo_one, self.session.diary, entry, now)
            self.change(call, self._on_taken_back)

    def selected(self) -> OpenPair | Leftover | None:
        """What is selected in the list."""
        keys = self.view.selected()
        return self._open.get(str(keys[0])) if keys else None

    def back_to_list(self) -> None:
        (self.chooses if self.view.isHidden() else self.view).setFocus()
        if not self.view.isHidden():
            self.body.ensureWidgetVisible(self.view)

    def done(self, result: int) -> None:
        self.stop()
        super().done(result)

    def _is_shown(self, each: OpenPair | Leftover) -> bool:
        """Whether it is of the person whom the window shows: whose changes its undo takes back."""
        return self.shown is not None and each.person == self.shown.name

    def _work(
        self,
        call: Callable[..., Together],
        file: Path,
        said: str,
        then: Callable[[Together], object],
    ) -> None:
        self._working = working = Working(stopped_words(), self)
        working.come.connect(lambda percent: self.say(f"{said} {percent} %"))
        self._set_working(on=True)
        self.say(said)
        diary, now = self.session.diary, self.session.now()
        self.run(partial(call, diary, file, now, working.step), then, self._on_not_done)

    def _set_working(self, *, on: bool) -> None:
        had_focus = self.stops.hasFocus() or self.brings.hasFocus() or self.chooses.hasFocus()
        self.stops.setVisible(on)
        self.chooses.setEnabled(not on)
        self.brings.setEnabled(not on)
        for each in self.body.says:
            each.setEnabled(not on)
        if not on:
            self._working = None
            self.may_write(self.chooses, self.brings, *self.body.says)
        if had_focus:
            (self.stops if on else self.chooses).setFocus()

    def _on_look(self, found: Together) -> None:
        self._set_working(on=False)
        self.say("")
        self._tell(found)
        self.brings.setVisible(not found.brought.is_nothing)
        if not self.brings.isHidden():
            self.brings.setFocus()

    def _on_brought(self, found: Together) -> None:
        from app.ui.said import Said

        self._set_working(on=False)
        self.say("")
        self.brings.hide()
        self._tell(found)
        self.session.changed(Said(found.sentences[0], undo=False))
        self.look()

    def _tell(self, found: Together) -> None:
        self._found = found
        self.body.show_account("\n".join(account_words(found)))

    def _on_not_done(self, trouble: DiaryError) -> None:
        self._set_working(on=False)
        self.tell_trouble(trouble)

    def _on_open(self, found: Leftovers) -> None:
        self._open = {
            **{f"pair {number}": each for number, each in enumerate(found.pairs)},
            **{f"settle {number}": each for number, each in enumerate(found.to_settle)},
        }
        several = len({each.person for each in self._open.values()}) > 1
        rows = [self._row(key, each, several=several) for key, each in self._open.items()]
        had_list = not self.view.isHidden()
        self.body.show_rows(rows)
        if had_list and not rows:
            self.say(f"{self._last} {none_open_words()}".strip())
        elif not rows and self._found is None:
            self.body.show_account(none_open_words())
        self._on_chosen()
        if had_list or rows:
            self.back_to_list()

    def _row(self, key: str, each: OpenPair | Leftover, *, several: bool) -> Row:
        today = self.session.now().date()
        day, time = when_words(each.at, today, self.shown)
        whose = (each.person or "") if several else ""
        if isinstance(each, OpenPair):
            return Row(key, (day, time, pair_words(each), whose, tr("probably one")))
        return Row(key, (day, time, leftover_words(each), whose, tr("to settle")))

    def _on_chosen(self) -> None:
        chosen = self.selected()
        is_pair = isinstance(chosen, OpenPair)
        pairs = sum(isinstance(each, OpenPair) for each in self._open.values())
        for button in (self.body.one, self.body.two):
            button.setVisible(is_pair)
        self.body.all_one.setVisible(is_pair and pairs > 1)
        for button in (self.body.shown_one, self.body.other_one):
            button.setVisible(isinstance(chosen, Leftover))
        self.body.undoes.setVisible(bool(self._answers))
        if chosen is not None:
            self.body.show_versions(*versions_words(chosen, self.session.now(), self.shown))
        self.may_write(*self.body.says, self.body.undoes)

    def _on_said(self, done: Answered) -> None:
        self._answers.append(done.entry)
        self._on_answered(done.sentence)

    def _on_taken_back(self, done: TakenBack) -> None:
        self._answers.pop()
        self._on_answered(done.sentence)

    def _on_answered(self, sentence: str) -> None:
        self._last = sentence
        if self._found is not None:  # how much was open then is no longer so
            self._tell(replace(self._found, probably_one=0, to_settle=0))
        self.say(sentence)
        self.look()

    def _connect(self) -> None:
        self.view.chosen.connect(self._on_chosen)
        self.chooses.clicked.connect(self.choose)
        self.stops.clicked.connect(self.stop)
        self.brings.clicked.connect(self.bring)
        self.body.one.clicked.connect(partial(self.say_of_pair, ONE))
        self.body.two.clicked.connect(partial(self.say_of_pair, TWO))
        self.body.all_one.clicked.connect(partial(self.say_of_pair, ONE, every=True))
        self.body.shown_one.clicked.connect(partial(self.settle, SHOWN))
        self.body.other_one.clicked.connect(partial(self.settle, OTHER))
        self.body.undoes.clicked.connect(self.take_back)
        self.press(("Ctrl+Z",), self.take_back)
