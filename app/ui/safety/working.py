"""One long errand of the file: how far it has come, and whether it is to stop."""

from __future__ import annotations

from threading import Event

from PySide6.QtCore import QObject, Signal

from app.domain.steps import Stopped


class Working(QObject):
    """Handed into the thread that works. Signals: come(int) so many per cent, from that thread.

    Parameters
    ----------
    stopped : str
        What is said where it was stopped.
    """

    come = Signal(int)

    def __init__(self, stopped: str, parent: QObject) -> None:
        super().__init__(parent)
        self._stopped, self._stop = stopped, Event()
        self._percent = -1

    def stop(self) -> None:
        """Let it end at the next step; everything is as it was then."""
        self._stop.set()

    def step(self, done: int, of: int) -> None:
        """Heard in the thread that works.

        Raises
        ------
        Stopped
            Somebody wants it to end.
        """
        if self._stop.is_set():
            raise Stopped(self._stopped)
        percent = 100 * done // of if of else 100
        if percent != self._percent:
            self._percent = percent
            self.come.emit(percent)
