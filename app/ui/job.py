"""One question at a time, asked off the GUI thread; an answer to an older question is dropped.

No widget owns a thread here: the destructor of a pool waits for its threads, and where Python's
lock is held meanwhile, a call that needs it never ends.
"""

from __future__ import annotations

import atexit
from collections import deque
from collections.abc import Callable
from functools import cache
from itertools import count
from threading import Condition
from typing import Any
from weakref import WeakValueDictionary

from PySide6.QtCore import QObject, QRunnable, Qt, QThreadPool, Signal, Slot
from shiboken6 import isValid

_MOST_THREADS = 64  # far more than there are jobs: no question waits for one of another kind

_ALIVE: WeakValueDictionary[int, Job] = WeakValueDictionary()
_RUNNING: set[_Line] = set()
_NUMBERS = count()


def close_all() -> None:
    """Close every job that is left, before the program ends.

    A thread that Python stops while it ends takes the whole process down with a message of Qt's.
    """
    for job in list(_ALIVE.values()):
        if isValid(job):
            job.close()


@cache
def _pool() -> QThreadPool:
    made = QThreadPool()
    made.setMaxThreadCount(_MOST_THREADS)
    atexit.register(made.waitForDone)
    return made


@cache
def _post() -> _Post:
    return _Post()


class _Asked:
    """One question, and what came of it.

    A call may hold the last reference to something of Qt's, which has to go in the GUI thread: a
    thread holds nothing but this, and it is emptied where the result is taken.
    """

    __slots__ = ("_answer", "_call", "_problem", "job", "number")

    def __init__(self, job: int, number: int, call: Callable[[], Any]) -> None:
        self.job, self.number = job, number
        self._call: Callable[[], Any] | None = call
        self._answer: object = None
        self._problem: BaseException | None = None

    def ask(self) -> None:
        """Call, and keep what comes of it: whatever it is, the window must hear of it."""
        try:
            if self._call is not None:
                self._answer = self._call()
        except BaseException as met:
            self._problem = met

    def taken(self) -> tuple[object, BaseException | None, object]:
        """The answer, the problem and the call, of which nothing is kept here any more."""
        came = self._answer, self._problem, self._call
        self._answer = self._problem = self._call = None
        return came


class _Post(QObject):
    """Lives in the GUI thread as long as the program; carries results over to their jobs.

    The results lie in a line of Python's own: Qt only says that there is one, so that no object of
    Python's is copied or let go by a thread of Qt's.
    """

    _has_one = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._results: deque[_Asked] = deque()
        self._has_one.connect(self._deliver, Qt.ConnectionType.QueuedConnection)

    def send(self, asked: _Asked) -> None:
        """Let a job hear what came of a question; from any thread."""
        self._results.append(asked)
        self._has_one.emit()

    @Slot()
    def _deliver(self) -> None:
        asked = self._results.popleft()
        answer, problem, _call = asked.taken()
        job = _ALIVE.get(asked.job)
        if job is not None and isValid(job):
            job.take(asked.number, answer, problem)


class _Line(QRunnable):
    """The calls of one job, one after the other; what is left of them when the job is gone."""

    def __init__(self, job: int, post: _Post) -> None:
        super().__init__()
        self.setAutoDelete(False)
        self._job, self._post = job, post
        self._waiting: deque[_Asked] = deque()
        self._state = Condition()
        self._runs = False

    def put(self, question: int, call: Callable[[], Any]) -> None:
        """Let a call be made after those that are waiting."""
        with self._state:
            self._waiting.append(_Asked(self._job, question, call))
            begins, self._runs = not self._runs, True
        if begins:
            _RUNNING.add(self)
            _pool().start(self)

    def drop(self) -> None:
        """Forget what is waiting."""
        with self._state:
            dropped = [*self._waiting]
            self._waiting.clear()
        del dropped  # here, where nobody waits for the state meanwhile

    def wait(self) -> None:
        """Wait until the call that is being made has ended."""
        with self._state:
            self._state.wait_for(lambda: not self._runs)

    def run(self) -> None:
        """Call, and report what came of it to the GUI thread, until nothing is waiting."""
        while (asked := self._next()) is not None:
            asked.ask()
            self._post.send(asked)

    def _next(self) -> _Asked | None:
        with self._state:
            if self._waiting:
                return self._waiting.popleft()
            self._runs = False
            _RUNNING.discard(self)
            self._state.notify_all()
            return None


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
        number = next(_NUMBERS)
        self._line = _Line(number, _post())
        self._asked = 0
        self._open: set[int] = set()
        _ALIVE[number] = self
        self.destroyed.connect(self._line.drop)

    @property
    def busy(self) -> bool:
        """Whether a question is still open."""
        return bool(self._open)

    def start(self, call: Callable[[], Any]) -> None:
        """Ask; what was asked before and is not answered yet no longer matters."""
        self._asked += 1
        was_busy = self.busy
        self._open.add(self._asked)
        if not was_busy:
            self.busy_changed.emit(True)
        self._line.put(self._asked, call)

    def close(self) -> None:
        """Drop every open question and wait for the thread to be free."""
        self._asked += 1
        self._line.drop()
        self._line.wait()
        self._open.clear()

    def take(self, question: int, answer: object, problem: object) -> None:
        """Hear what came of a question; in the GUI thread, where a line reports."""
        self._open.discard(question)
        if not self._open:
            self.busy_changed.emit(False)
        if question != self._asked:
            return
        if problem is None:
            self.answered.emit(answer)
        else:
            self.failed.emit(problem)
