"""A change from a form: at once where the diary is free, else waited for off the GUI thread."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject

from app.domain.errors import Busy, DiaryError
from app.ui.job import Job


class Patience(QObject):
    """One change at a time; the window waits for none.

    Parameters
    ----------
    done, failed : callable
        Told what came of it, or the trouble of the surroundings; a fault of ours is raised.
    waits : callable
        Told with True when the diary is busy and it is waited for, with False when that has ended.
    """

    def __init__(
        self,
        done: Callable[[Any], object],
        failed: Callable[[DiaryError], object],
        waits: Callable[[bool], object],
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._done, self._failed, self._waits = done, failed, waits
        self._job = Job(self)
        self._job.answered.connect(self._on_answered)
        self._job.failed.connect(self._on_failed)

    @property
    def busy(self) -> bool:
        """Whether a change is waited for."""
        return self._job.busy

    def do(self, call: Callable[[], Any]) -> None:
        """Make a change; while another one is waited for, nothing is begun."""
        if self.busy:
            return
        try:
            found = call()  # on this thread it gives up on a lock at once (Diary.hurry)
        except Busy:
            self._waits(True)
            self._job.start(call)
        except DiaryError as trouble:
            self._failed(trouble)
        else:
            self._done(found)

    def _on_answered(self, found: object) -> None:
        self._waits(False)
        self._done(found)

    def _on_failed(self, trouble: BaseException) -> None:
        self._waits(False)
        if not isinstance(trouble, DiaryError):
            raise trouble
        self._failed(trouble)
