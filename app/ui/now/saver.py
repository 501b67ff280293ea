"""Saving and taking back, one at a time, off the GUI thread: a locked diary freezes nothing."""

from __future__ import annotations

from datetime import datetime
from functools import partial

from PySide6.QtCore import QObject, QTimer, Signal

from app.domain.entry import Entry
from app.domain.errors import DiaryError
from app.domain.person import Person
from app.store.diary import Diary
from app.ui.job import Job
from app.ui.now.saving import Saved, Undone, save, take_back

BUSY_MS = 300  # what takes no longer is not spoken of (common practice, no source)


class Saver(QObject):
    """Nothing is started while something runs: no answer is ever dropped.

    Signals: saved(Saved), undone(Undone), refused(str) a sentence on why nothing was changed,
    waited() when it takes long enough to speak of it.
    """

    saved = Signal(object)
    undone = Signal(object)
    refused = Signal(str)
    waited = Signal()

    def __init__(self, diary: Diary, parent: QObject) -> None:
        super().__init__(parent)
        self._diary = diary
        self._job = Job(self)
        self._job.answered.connect(self._on_answered)
        self._job.failed.connect(self._on_failed)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(BUSY_MS)
        self._timer.timeout.connect(self.waited)

    @property
    def busy(self) -> bool:
        """Whether something is being saved or taken back."""
        return self._job.busy

    def save(
        self, person: Person, line: str, entry: Entry, *, now: datetime, keeper: str | None
    ) -> None:
        """Save an understood line."""
        self._start(partial(save, self._diary, person, line, entry, now=now, keeper=keeper))

    def take_back(self, saved: Saved, *, now: datetime) -> None:
        """Take back what was saved last."""
        self._start(partial(take_back, self._diary, saved, now=now))

    def _start(self, call: partial[Saved] | partial[Undone]) -> None:
        if self.busy:
            raise RuntimeError("something is being saved already")
        self._timer.start()
        self._job.start(call)

    def _on_answered(self, done: object) -> None:
        self._timer.stop()
        (self.saved if isinstance(done, Saved) else self.undone).emit(done)

    def _on_failed(self, problem: BaseException) -> None:
        self._timer.stop()
        if isinstance(problem, DiaryError):
            self.refused.emit(str(problem))
            return
        self.refused.emit(
            self.tr("Something went wrong in the program, and nothing is said to be saved.")
        )
        raise problem  # a fault of ours: the report on it is made elsewhere
