"""What takes changes back: undo and redo, the history, the bin, and a person taken out."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any, Protocol

from PySide6.QtCore import QCoreApplication, QObject, QTimer
from PySide6.QtGui import QAction, QKeySequence

from app.ui.gate import writes

if TYPE_CHECKING:
    from PySide6.QtWidgets import QDialog

    from app.domain.errors import DiaryError
    from app.domain.person import Person
    from app.ui.job import Job
    from app.ui.safety.errands import Errands
    from app.ui.session import Session
    from app.ui.window import Window
    from app.work.history import Next
    from app.work.take_back import DoneAgain, TakenBack

REDO_KEYS = ("Ctrl+Shift+Z", "Ctrl+Y")  # the one and the other, whatever the system prefers
Keys = str | QKeySequence.StandardKey
BEGIN_MS = 1500  # the page is seen by then: what is asked needs imports of a quarter of a second
LOOK_MS = 50  # a change is told of more than once


class Adds(Protocol):
    """How a menu takes an action with its key."""

    def __call__(self, menu: str, text: str, keys: Keys, does: Callable[[], object], /) -> QAction:
        """Add it to one of the menus."""


class MenuOfChanges(QObject):
    """Parts of the Diary and Edit menus; off until `fill` gives a diary.

    Undo and Redo say in few words what they are about. That is looked up off the GUI thread and is
    never waited for: whatever they say, they take back what is the newest then.

    Parameters
    ----------
    add : callable
        Puts an action into a menu by that menu's key.
    """

    def __init__(self, add: Adds, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._session: Session | None = None
        self._errands: Errands | None = None
        self._steps: Job | None = None
        self._asks = False
        keys = QKeySequence.StandardKey
        self.bin = add("diary", tr("Bin…"), "Ctrl+Shift+Del", self._on_bin)
        self.remove = add("diary", tr("Remove this person…"), "Ctrl+Shift+R", self._on_remove)
        self.undo = writes(add("edit", tr("Undo"), keys.Undo, self._on_undo))
        self.redo = writes(add("edit", tr("Redo"), keys.Redo, self._on_redo))
        self.redo.setShortcuts([QKeySequence(each) for each in REDO_KEYS])
        self.history = add("edit", tr("History…"), "Ctrl+H", self._on_history)
        writes(self.remove)
        for each in (self.undo, self.redo):
            each.setAutoRepeat(False)  # a key held down would take back the whole diary
        self._all = (self.bin, self.remove, self.undo, self.redo, self.history)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._look)
        self.set_enabled(False)

    def set_enabled(self, enabled: bool) -> None:
        """Whether there is a diary."""
        for each in self._all:
            each.setEnabled(enabled)

    def fill(self, session: Session) -> None:
        """Turn everything on."""
        from app.ui.job import Job
        from app.ui.safety.errands import Errands

        self._session = session
        if self._errands is None:
            self._errands = Errands(self)
            self._steps = Job(self)
            self._steps.answered.connect(self._on_steps)
            self._steps.failed.connect(self._on_not_known)
        self.set_enabled(True)
        session.record_changed.connect(self._on_changed)
        session.person_changed.connect(self._on_changed)
        self._soon.start(BEGIN_MS)

    def empty(self) -> None:
        """Turn everything off: the diary is let go of."""
        self._session = None
        self._soon.stop()
        if self._errands is not None:
            self._errands.forget()
        self.set_enabled(False)
        self._name(None)

    @property
    def _shown(self) -> Person | None:
        session = self._session
        return session.person if session is not None and session.has_person else None

    # What undo and redo are about.

    def _on_changed(self) -> None:
        if self._session is None:
            return
        # Until it is known what is next: a key that comes before that is not lost.
        self.set_enabled(True)
        self.remove.setEnabled(self._shown is not None)
        self._soon.start(LOOK_MS)

    def _look(self) -> None:
        from app.ui.changes import chores

        if self._session is not None and self._steps is not None:
            self._steps.start(partial(chores.steps, self._session.diary, self._shown))

    def _on_steps(self, steps: Next) -> None:
        if self._session is not None:
            self._name(steps)
            self.undo.setEnabled(steps.undo is not None)
            self.redo.setEnabled(steps.redo is not None)

    def _on_not_known(self, trouble: Exception) -> None:
        from app.domain.errors import DiaryError

        if not isinstance(trouble, DiaryError):
            raise trouble
        self._name(None)  # it is busy or damaged; whoever presses the key is told

    def _name(self, steps: Next | None) -> None:
        """Let the entries of the menu say what they are about."""
        line = steps.undo if steps else None
        again = steps.redo if steps else None
        words = (
            (self.undo, line, tr("Undo"), tr("Undo: {what}")),
            (self.redo, again, tr("Redo"), tr("Redo: {what}")),
        )
        for action, about, bare, full in words:
            if about is None:
                action.setText(bare)
                action.setStatusTip(bare)
                continue
            from app.ui.changes.words import few_words

            action.setText(full.format(what=few_words(about.about)).replace("&", "&&"))
            action.setStatusTip(full.format(what=about.about))

    # What they do.

    def _on_undo(self) -> None:
        self._take_back(None)

    def _take_back(self, edited: str | None) -> None:
        from app.ui.changes import chores

        session = self._session
        if session is None or self._asks:
            return
        self._window.notice.dismiss()
        # A change of ten thousand rows takes seconds to take back: off the GUI thread.
        call = partial(chores.undo, session.diary, self._shown, session.now(), edited=edited)
        self._run(call, self._on_done)

    def _on_redo(self) -> None:
        from app.ui.changes import chores

        session = self._session
        if session is not None and not self._asks:
            self._window.notice.dismiss()
            call = partial(chores.redo, session.diary, self._shown, session.now())
            self._run(call, self._on_done)

    def _run(self, call: Callable[[], Any], then: Callable[[Any], object]) -> None:
        if self._errands is not None:
            self._errands.run(call, then, self._on_trouble)

    def _on_done(self, done: TakenBack | DoneAgain) -> None:
        from app.ui.said import Said

        if self._session is not None:
            self._session.changed(Said(done.sentence, undo=False))
            self._on_changed()  # what changes no reading is a step too

    def _on_trouble(self, trouble: DiaryError) -> None:
        from app.domain.errors import NeedsAnswer

        if self._session is None:
            return
        if not isinstance(trouble, NeedsAnswer):
            self._session.tell_trouble(trouble)
        elif not self._asks:
            self._ask(trouble.questions[0].asks)

    def _ask(self, sentence: str) -> None:
        from app.ui.changes.asking import AskDialog
        from app.ui.changes.words import LEAVE, edited_answers

        def answered(key: str) -> None:
            self._asks = False
            if key != LEAVE:
                self._take_back(key)

        title = tr("Take back the import?")
        dialog = AskDialog(title, sentence, edited_answers(), answered, self._window)
        dialog.finished.connect(self._on_asked)
        self._asks = True
        dialog.open()

    def _on_asked(self, _how: int) -> None:
        self._asks = False

    def _on_history(self) -> None:
        from app.ui.changes.history import HistoryDialog

        if self._session is not None and self._errands is not None:
            self._open(HistoryDialog(self._session, self._errands, self._window))

    def _on_bin(self) -> None:
        from app.ui.changes.bin import BinDialog

        if self._session is not None and self._errands is not None:
            self._open(BinDialog(self._session, self._errands, self._window))

    def _on_remove(self) -> None:
        from app.ui.changes.remove import RemoveDialog

        if self._session is not None and self._errands is not None and self._shown is not None:
            self._open(RemoveDialog(self._session, self._errands, self._window))

    def _open(self, dialog: QDialog) -> None:
        dialog.finished.connect(self._on_changed)
        dialog.open()


def tr(text: str) -> str:
    """Translate a text of this menu."""
    return QCoreApplication.translate("Menus", text)
