"""Errands off the GUI thread, one after the other; each is told what came of it."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject

from app.domain.errors import DiaryError
from app.ui.job import Job

Call = Callable[[], Any]
Then = Callable[[Any], object]


class Errands(QObject):
    """A line of calls, none of which is dropped.

    Trouble of the surroundings goes to `on_trouble` of that errand, or nowhere where there is none;
    a fault of ours is raised in the GUI thread, where the report on it is made.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._waiting: deque[tuple[Call, Then, Then]] = deque()
        self._now: tuple[Call, Then, Then] | None = None
        self._job = Job(self)
        self._job.answered.connect(self._on_answered)
        self._job.failed.connect(self._on_failed)

    @property
    def busy(self) -> bool:
        """Whether something is under way."""
        return self._now is not None

    def run(self, call: Call, then: Then, on_trouble: Then | None = None) -> None:
        """Do it after what was asked for before."""
        self._waiting.append((call, then, on_trouble or _nothing))
        self._next()

    def forget(self) -> None:
        """Begin nothing more, and wait for what is under way; nobody is told of it."""
        self._waiting.clear()
        self._now = None
        self._job.close()

    def _next(self) -> None:
        if self._now is None and self._waiting:
            self._now = self._waiting.popleft()
            self._job.start(self._now[0])

    def _on_answered(self, answer: object) -> None:
        done, self._now = self._now, None
        try:
            if done is not None:
                done[1](answer)
        finally:
            self._next()

    def _on_failed(self, problem: Exception) -> None:
        done, self._now = self._now, None
        try:
            if not isinstance(problem, DiaryError):
                raise problem
            if done is not None:
                done[2](problem)
        finally:
            self._next()


def _nothing(_: object) -> None:
    return None
