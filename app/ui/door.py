"""Who is let in: the lock of a window on its diary, and the bell that a second start rings."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtCore import QObject

    from app.store.lock import AlreadyOpen, WindowLock
    from app.ui.doorbell import Doorbell


class Door:
    """The lock and the bell of one window, on one diary at a time.

    Parameters
    ----------
    runtime : Path
        The runtime folder of the user, for the bell.
    clock : callable
        Gives the aware time.
    """

    def __init__(self, runtime: Path, clock: Callable[[], datetime]) -> None:
        self._runtime, self._clock = runtime, clock
        self._lock: WindowLock | None = None
        self._path: Path | None = None
        self._bell: Doorbell | None = None
        self.refused: AlreadyOpen | None = None
        self.was_left = False

    def may_be_shut(self, diary: Path) -> bool:
        """Whether some window holds the lock of a diary, or died with it; quick to ask.

        The name is that of app.store.lock, which is slow to import before a window is painted.
        """
        real = diary.resolve()
        return real.with_name(f".{real.name}.lock").exists()

    def enter(self, diary: Path) -> bool:
        """Take the lock of a diary that is there, and let go of the one before.

        Where another window has it, that stands in `refused`; `was_left` says that the last window
        on it ended without closing it.
        """
        from app.store.lock import AlreadyOpen, take_lock

        if self._lock is not None and self._path == diary:
            return True
        self.leave()
        self.refused, self.was_left = None, False
        if not diary.exists():
            return True
        try:
            self._lock = take_lock(diary, now=self._clock())
        except AlreadyOpen as first:
            self.refused = first
            return False
        self._path, self.was_left = diary, self._lock.left_by is not None
        return True

    def rang(self, diary: Path) -> bool:
        """Ask the window that has a diary to come to the front; whether it answered."""
        from app.ui.doorbell import ring

        return self.refused is not None and self.refused.here and ring(diary, self._runtime)

    def listen(self, does: Callable[[], object], parent: QObject) -> None:
        """Hear of second starts from now on, as long as the lock is held."""
        if self._lock is None or self._path is None or self._bell is not None:
            return
        from app.ui.doorbell import Doorbell

        if self._lock.held:
            self._bell = Doorbell(self._path, self._runtime, parent)
            self._bell.rung.connect(does)

    def leave(self) -> None:
        """Let the next window in."""
        if self._bell is not None:
            self._bell.close()
            self._bell = None
        if self._lock is not None:
            self._lock.release()
            self._lock = None
        self._path = None
