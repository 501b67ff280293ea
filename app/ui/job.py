"""One question at a time, asked off the GUI thread; an answer to an older question is dropped."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from weakref import WeakSet

from PySide6.QtCore import QObject, QRunnable, Qt, QThreadPool, Signal, Slot
from shiboken6 import isValid

_ALIVE: WeakSet[Job] = WeakSet()


def close_all() -> None:
    """Close every job that is left, before the program ends.

    A thread that Python stops while it ends takes the whole process down with a message of Qt's.
    """
    for job in list(_ALIVE):
        if isValid(job):
            job.close()


class _Task(QRunnable):
    """One call; kept alive by its job until it has reported."""

    def __init__(self, number: int, call: Callable[[], Any], report: _Report) -> None:
        super().__init__()
        self.setAutoDelete(False)
        self._number, self._call, self._report = number, call, report

    def run(self) -> None:
        """Call, and report what came of it to the GUI thread."""
        try:
            self._report.done.emit(self._number, self._call(), None)
        except BaseException as problem:  # whatever it is, the window must hear of it
            self._report.done.emit(self._number, None, problem)


class _Report(QObject):
    """Lives in the GUI thread; its signal carries results over."""

    done = Signal(int, object, object)


class Job(QObject):
    """A line of questions of one kind, of which only the last one matters.

    Signals: `answered(object)` with what the call returned, `failed(object)` with its exception,
    `busy_changed(bool)` when a first question is asked and when the last is answered.
    """

    answered = Signal(object)
    failed = Signal(object)
    busy_changed = Signal(bool)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._report = _Report(self)
        self._report.done.connect(self._on_done, Qt.ConnectionType.QueuedConnection)
        self._asked = 0
        self._running: dict[int, _Task] = {}
        _ALIVE.add(self)

    @property
    def busy(self) -> bool:
        """Whether a question is still open."""
        return bool(self._running)

    def start(self, call: Callable[[], Any]) -> None:
        """Ask; what was asked before and is not answered yet no longer matters."""
        self._asked += 1
        task = _Task(self._asked, call, self._report)
        was_busy = self.busy
        self._running[self._asked] = task
        if not was_busy:
            self.busy_changed.emit(True)
        self._pool.start(task)

    def close(self) -> None:
        """Drop every open question and wait for the thread to be free."""
        self._asked += 1
        self._pool.clear()
        self._pool.waitForDone()
        self._running.clear()

    @Slot(int, object, object)
    def _on_done(self, number: int, answer: object, problem: object) -> None:
        self._running.pop(number, None)
        if not self._running:
            self.busy_changed.emit(False)
        if number != self._asked:
            return
        if problem is None:
            self.answered.emit(answer)
        else:
            self.failed.emit(problem)
