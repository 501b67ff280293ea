"""Watches the clock for everybody in the diary: at most half a minute passes between two looks."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtCore import QElapsedTimer, QObject, QTimer, Signal

from app.domain.errors import DiaryError
from app.statistics.schedule.remind import TICK_SECONDS, Clocks, Memory, look
from app.ui.due.watched import Read, Watched, read_dues
from app.ui.job import Job

if TYPE_CHECKING:
    from app.ui.session import Session

SOON_MS = 1500  # the first look, where the window is still being filled
SAVED_MS = 200  # until it is asked again whether a reading is still being saved


class DueWatch(QObject):
    """What is due, looked at when something changed and on every tick.

    It says nothing by itself and writes nothing. Signals: looked() each time; found(tuple) the
    Watched of everybody, once for each look that has something new to say or that was missed.

    Parameters
    ----------
    running : callable, optional
        Seconds of a clock that only goes forward; Qt's own where none is given.
    saving : callable, optional
        Whether a reading is just being saved. It is not looked at meanwhile: that the caution of a
        low is shown beside the line is written down right after the low itself.
    """

    looked = Signal()
    found = Signal(object)

    def __init__(
        self,
        session: Session,
        parent: QObject,
        *,
        running: Callable[[], float] | None = None,
        saving: Callable[[], bool] = lambda: False,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._running = running or _RunningClock()
        self._saving = saving
        self._read: Read | None = None
        self._watched: tuple[Watched, ...] = ()
        self._memories: dict[UUID, Memory] = {}
        self._anew = False
        self.job = Job(self)
        self.job.answered.connect(self._on_read)
        self.job.failed.connect(self._on_failed)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self.look_again)
        session.record_changed.connect(self.look_again)
        session.person_changed.connect(self.look_again)
        session.said.connect(self._on_said)
        filling = session.has_person and not session.record.whole
        if filling:
            self._timer.start(SOON_MS)
        else:
            self.look_again()

    @property
    def watched(self) -> tuple[Watched, ...]:
        """Everybody with what was found at the last look; empty before the first."""
        return self._watched

    def look_again(self) -> None:
        """Look now: at what the diary holds, and at both clocks."""
        session = self._session
        self._timer.start(TICK_SECONDS * 1000)
        if session.has_person and not session.record.whole:
            return  # the window is still being filled
        if self._saving():
            self._timer.start(SAVED_MS)
            return
        if not session.has_person:
            self._read, self._watched = None, ()
            self.looked.emit()
            return
        anew = self._anew or self._has_jumped()
        self._anew = False
        self.job.start(
            partial(
                read_dues,
                session.diary,
                session.persons,
                self._read,
                now=session.now(),
                anew=anew,
                shown=session.record,
            )
        )

    def _has_jumped(self) -> bool:
        """Whether a clock was set or the computer slept since the last look: then plan anew."""
        clocks = self._clocks()
        return any(look((), clocks, memory).jumped for memory in self._memories.values())

    def _clocks(self) -> Clocks:
        return Clocks(int(self._session.now().timestamp()), self._running())

    def _on_said(self, _said: object) -> None:
        self.look_again()

    def _on_read(self, read: Read) -> None:
        if self._saving():  # it may have been read in the middle of it
            self._timer.start(SAVED_MS)
            return
        self._read = read
        clocks = self._clocks()
        watched = []
        for person, reminders in zip(read.persons, read.reminders, strict=True):
            seen = look(
                reminders.dues,
                clocks,
                self._memories.get(person.uid),
                is_quiet=reminders.is_quiet,
            )
            self._memories[person.uid] = seen.memory
            watched.append(Watched(person, reminders, seen))
        self._watched = tuple(watched)
        wait = min((each.look.wait_s for each in watched), default=float(TICK_SECONDS))
        self._timer.start(max(1, round(wait)) * 1000)
        self.looked.emit()
        if any(each.look.say or each.look.missed for each in watched):
            self.found.emit(self._watched)

    def _on_failed(self, problem: BaseException) -> None:
        if not isinstance(problem, DiaryError):  # busy just now: the next tick looks again
            raise problem
        self._anew = True


class _RunningClock:
    """Seconds since it was made, by a clock that nobody sets."""

    def __init__(self) -> None:
        self._elapsed = QElapsedTimer()
        self._elapsed.start()

    def __call__(self) -> float:
        return self._elapsed.elapsed() / 1000
