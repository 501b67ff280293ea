"""What is done to the rows that are selected: off the GUI thread, one change at a time."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

from app.domain.marks import Mark
from app.domain.person import Person
from app.store.diary import Diary
from app.ui.gate import writes
from app.ui.job import Job
from app.ui.readings.bulk_bar import BulkBar
from app.ui.readings.view import ReadingsView
from app.ui.said import Said
from app.ui.session import Session
from app.work.edit import Done, count_again, put_in_bin, set_aside, set_mark, set_not_mine

_Does = Callable[[Diary, Person, list[int], datetime], Done]
Keys = str | QKeySequence.StandardKey


class Doing(QObject):
    """The changes of several readings, asked for by the bar or by a key."""

    def __init__(self, session: Session, view: ReadingsView, bar: BulkBar, parent: QObject) -> None:
        super().__init__(parent)
        self._session, self._view, self._bar = session, view, bar
        self._job = Job(self)
        self._job.answered.connect(self._on_done)
        self._job.failed.connect(session.tell_trouble)
        self._job.busy_changed.connect(bar.set_busy)
        bar.mark_asked.connect(self.mark)
        bar.aside_asked.connect(self.aside)
        bar.not_mine_asked.connect(self.not_mine)
        bar.counted_asked.connect(self.counted)
        bar.bin_asked.connect(self.to_bin)
        bar.left.connect(view.setFocus)
        self._on_rows = (
            writes(keyed(self.tr("Set mark…"), "Ctrl+M", bar.ask_mark, of=view)),
            writes(keyed(self.tr("Set aside…"), "Ctrl+Shift+A", bar.ask_reason, of=view)),
            writes(keyed(self.tr("Not mine"), "Ctrl+Shift+N", self.not_mine, of=view)),
            writes(keyed(self.tr("Counted again"), "Ctrl+Shift+C", self.counted, of=view)),
            writes(
                keyed(self.tr("To the bin"), QKeySequence.StandardKey.Delete, self.to_bin, of=view)
            ),
        )
        every = QKeySequence.StandardKey.SelectAll
        self.actions = (
            *self._on_rows,
            keyed(self.tr("Select all"), every, view.selectAll, of=view),
        )
        view.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)

    def set_enabled(self, enabled: bool) -> None:
        """Whether any row is selected that something could be done to."""
        for action in self._on_rows:
            action.setEnabled(enabled)

    def mark(self, mark: Mark) -> None:
        """Give the selected readings a mark."""
        self._do(lambda diary, person, ids, now: set_mark(diary, person, ids, mark, now=now))

    def aside(self, why: str) -> None:
        """Set the selected readings aside."""
        self._do(lambda diary, person, ids, now: set_aside(diary, person, ids, why, now=now))

    def not_mine(self) -> None:
        """Say that the selected readings are somebody else's."""
        self._do(lambda diary, person, ids, now: set_not_mine(diary, person, ids, now=now))

    def counted(self) -> None:
        """Let the selected readings count again."""
        self._do(lambda diary, person, ids, now: count_again(diary, person, ids, now=now))

    def to_bin(self) -> None:
        """Put the selected readings into the bin."""
        self._do(lambda diary, person, ids, now: put_in_bin(diary, person, ids, now=now))

    def _do(self, does: _Does) -> None:
        ids = self._view.selected_ids()
        if ids and not self._job.busy:
            session = self._session  # looked at here, not in the thread: it may move on meanwhile
            self._job.start(partial(does, session.diary, session.person, ids, session.now()))

    def _on_done(self, done: Done) -> None:
        self._session.changed(Said(done.sentence))
        self._view.setFocus()


def keyed(text: str, keys: Keys, does: Callable[[], object], *, of: QWidget) -> QAction:
    """An action with a key that works while `of`, or what is in it, has the focus.

    Elsewhere the same key means something else: in a line of text, Delete deletes a letter.
    """
    action = QAction(text, of)
    action.setShortcut(QKeySequence(keys))
    action.setStatusTip(text.rstrip("…"))
    action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
    action.triggered.connect(lambda _checked=False: does())
    of.addAction(action)
    return action
