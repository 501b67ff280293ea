"""The ways to a diary in the window: a backup in its place, a rescue, another file, a new one."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtCore import QCoreApplication, QObject, Slot
from PySide6.QtWidgets import QFileDialog

from app.domain.errors import Damaged, DiaryError, FileFromNewerVersion, NotADiary
from app.store.backup_facts import BackupFacts, list_backups
from app.store.installation import installation_id
from app.ui.blocked import Blocked
from app.ui.controls import Answer
from app.ui.safety import chores
from app.ui.safety.guard import Guard
from app.ui.safety.told import STOP
from app.ui.safety.words import come_words, rescue_stopped_words
from app.ui.safety.working import Working

if TYPE_CHECKING:
    from app.store.salvage import Salvaged
    from app.ui.fill import Filling
    from app.ui.session import Session
    from app.ui.window import Window
    from app.work.restore import RestoreDone

AGAIN, OTHER, NEW, RESCUE, CLOSE = "again", "other", "new", "rescue", "close"
_DONE = "restored"


def tr(text: str) -> str:
    """Translate a text about ways into the diary."""
    return QCoreApplication.translate("WaysIn", text)


def watched(
    filling: Filling, window: Window, session: Session, *, was_left: bool, crashed: bool
) -> Guard:
    """Let a guard watch over the open diary, and open what it asks for."""
    guard = Guard(window, session, filling.state, was_left=was_left, crashed=crashed)
    guard.reopen_asked.connect(partial(open_anew, filling, window, filling.path))
    guard.restore_asked.connect(partial(restore, filling, window))
    guard.open_asked.connect(partial(open_anew, filling, window))
    window.guard = guard
    window.menus.safety.set_enabled(True)
    return guard


def show_working(window: Window, sentence: str, working: Working | None = None) -> None:
    """Say what is under way in the place of the pages, and how far it is where that is known."""
    answers = [Answer(STOP, tr("Stop"))] if working is not None else []
    card = Blocked(tr("A moment"), sentence, answers, window)
    window.show_first_start(card)
    if working is not None:
        working.setParent(card)
        _Coming(card, sentence, working)
        card.take_focus()


class _Coming(QObject):
    """Lets a card say how far a work is, and stop it."""

    def __init__(self, card: Blocked, sentence: str, working: Working) -> None:
        super().__init__(card)
        self._card, self._sentence, self._working = card, sentence, working
        working.come.connect(self._on_come)
        card.answered.connect(self._on_answer)

    @Slot(int)
    def _on_come(self, percent: int) -> None:
        self._card.reword(come_words(self._sentence, percent))

    @Slot(str)
    def _on_answer(self, _key: str) -> None:
        self._working.stop()
        self._card.buttons[STOP].setEnabled(False)


def show_missing(filling: Filling, window: Window) -> None:
    """Say that the diary is not where it was, and offer its backups; nothing is made."""
    sentence = tr(
        "There is no file at {path}, where the diary was before. Nothing was made. If it lies on "
        "another disk, connect that and look again."
    ).format(path=filling.path)
    answers = [
        Answer(AGAIN, tr("Look again")),
        Answer(OTHER, tr("Another file…")),
        Answer(NEW, tr("Begin a new diary")),
    ]
    backups = _checked(filling.path)
    _show(filling, window, tr("The diary is not there"), sentence, answers, backups)


def show_blocked(filling: Filling, window: Window, trouble: DiaryError) -> None:
    """Say why a file can't be shown, and what can be done about it."""
    answers = [Answer(OTHER, tr("Another file…")), Answer(CLOSE, tr("Close"))]
    title, sentence = tr("The diary was not opened"), str(trouble)
    backups: list[BackupFacts] = []
    if isinstance(trouble, Damaged):
        title = tr("The diary is damaged")
        sentence = tr(
            "{path} is damaged, and too little of it can be read to show it. It was left "
            "untouched. A checked backup can take its place, or what can be read of it can be "
            "saved into a new file."
        ).format(path=filling.path)
        answers.insert(0, Answer(RESCUE, tr("Rescue into a new file…")))
        backups = _checked(filling.path)
    elif not isinstance(trouble, FileFromNewerVersion | NotADiary):
        answers.insert(0, Answer(AGAIN, tr("Try again")))
    _show(filling, window, title, sentence, answers, backups)


def open_anew(filling: Filling, window: Window, path: Path) -> None:
    """Let go of the open file, and open the one at a path."""
    window.empty()
    window.band.clear()
    filling.open(path)


def restore(filling: Filling, window: Window, file: Path) -> None:
    """Put a backup in the place of the diary, open that, and say how to go back."""
    window.empty()
    window.band.clear()
    working = Working(tr("The restore was stopped. The diary is as it was."), window)
    show_working(window, tr("Putting the backup in the diary's place, and checking both."), working)
    call = partial(chores.restore, filling.path, file, filling.state, filling.clock(), working.step)
    filling.errands.run(
        call, partial(_on_restored, filling, window), partial(_on_not_done, filling, window)
    )


def rescue_into(filling: Filling, window: Window, out: Path) -> None:
    """Save what can be read of a file that can't be shown."""
    try:
        installation = installation_id(filling.state)
    except DiaryError:  # what has no id of its own is saved all the same
        installation = UUID(int=0)
    working = Working(rescue_stopped_words(), window)
    sentence = tr("Reading row by row what can be read; the file is left untouched.")
    show_working(window, sentence, working)
    call = partial(chores.rescue, filling.path, out, installation, filling.clock(), working.step)
    filling.errands.run(
        call, partial(_on_rescued, filling, window), partial(_on_not_done, filling, window)
    )


def _show(
    filling: Filling,
    window: Window,
    title: str,
    sentence: str,
    answers: list[Answer],
    backups: list[BackupFacts],
) -> None:
    card = Blocked(title, sentence, answers, window, backups=backups)
    card.answered.connect(partial(_on_answer, filling, window))
    card.restore_asked.connect(partial(restore, filling, window))
    window.show_first_start(card)
    card.take_focus()


def _on_answer(filling: Filling, window: Window, key: str) -> None:
    if key == AGAIN:
        filling.open(filling.path)
    elif key == NEW:
        filling.begin_new()
    elif key == CLOSE:
        window.close()
    elif key == RESCUE:
        from app.ui.safety.rescue import ask_where

        ask_where(filling.path, partial(rescue_into, filling, window), window)
    elif key == OTHER:
        dialog = QFileDialog(window, tr("Open a diary"), str(filling.path.parent))
        dialog.setNameFilter(tr("Diaries (*.thimblebook)"))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.fileSelected.connect(lambda chosen: filling.open(Path(chosen)))
        dialog.open()


def _on_restored(filling: Filling, window: Window, done: RestoreDone) -> None:
    from app.ui.safety.words import restored_words

    filling.open(filling.path, after=lambda: window.band.tell(_DONE, restored_words(done)))


def _on_rescued(filling: Filling, window: Window, found: Salvaged) -> None:
    from app.ui.safety.rescue import show_report

    filling.open(filling.path)
    show_report(found, window, opens=partial(open_anew, filling, window, found.out))


def _on_not_done(filling: Filling, window: Window, trouble: DiaryError) -> None:
    filling.open(filling.path, after=lambda: window.band.tell(_DONE, str(trouble)))


def _checked(path: Path) -> list[BackupFacts]:
    try:
        found = list_backups(path)
    except DiaryError:
        return []
    return [each for each in reversed(found) if each.verified_at is not None]
