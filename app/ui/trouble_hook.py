"""A fault of ours in the running window: told once and calmly, and written down without values."""

from __future__ import annotations

import os
import platform
import sys
import threading
import traceback
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QCoreApplication, QObject, Qt, Signal, qVersion
from PySide6.QtWidgets import QWidget

LOG = "trouble.log"
_LARGEST = 200_000  # bytes: then a new log is begun and the one before is kept beside it
_REPORTS = 20  # in one run: a fault in what is painted comes back with every picture


class TroubleHook(QObject):
    """Hears of every exception that nothing caught, in a slot, a timer, a model or a thread.

    The window stays as it is. Each fault is written down once, by the place it comes from, and as
    long as one is told of no other is. A report holds versions and the lines of the program, never
    what an exception says: that may be a reading or a name.

    Parameters
    ----------
    window : QWidget
        Over which the sentences are shown.
    state : Path
        The folder of the log; made where it is not there.
    clock : callable
        Gives the aware time.
    """

    _met = Signal(str)

    def __init__(self, window: QWidget, state: Path, clock: Callable[[], datetime]) -> None:
        super().__init__(window)
        self._window, self._log, self._clock = window, state / LOG, clock
        self._seen: set[str] = set()
        self._lock = threading.Lock()
        self._is_telling = False
        self._before = sys.excepthook, threading.excepthook
        # Queued: told in the GUI thread, and never in the middle of a paint or of a model.
        self._met.connect(self._tell, Qt.ConnectionType.QueuedConnection)
        sys.excepthook = self._on_exception
        threading.excepthook = self._on_thread

    def close(self) -> None:
        """Give the exceptions back to who heard of them before."""
        sys.excepthook, threading.excepthook = self._before

    def _on_exception(
        self, kind: type[BaseException], problem: BaseException, trace: TracebackType | None
    ) -> None:
        if not issubclass(kind, Exception):  # Ctrl+C in the terminal, or leaving
            self._before[0](kind, problem, trace)
            return
        try:
            self._meet(problem, trace)
        except Exception as second:  # to hear of a fault must not be one
            sys.stderr.write(f"The report on a fault failed: {type(second).__name__}\n")

    def _on_thread(self, met: threading.ExceptHookArgs) -> None:
        if met.exc_value is not None:
            self._on_exception(met.exc_type, met.exc_value, met.exc_traceback)

    def _meet(self, problem: BaseException, trace: TracebackType | None) -> None:
        lines = told(problem, trace)
        key = "\n".join(lines)
        with self._lock:
            if key in self._seen or len(self._seen) >= _REPORTS:
                return
            self._seen.add(key)
            report = "\n".join([*_head(self._clock()), *lines, ""])
            sys.stderr.write(report)
            kept = _write(self._log, report)
        self._met.emit(str(self._log) if kept else "")

    def _tell(self, log: str) -> None:
        if self._is_telling:
            return
        from app.ui.dialogs import tell

        self._is_telling = True
        lines = [
            tr(
                "This was a fault of the program, not yours. What was saved is safe, and what you "
                "typed stands where it was. If something looks wrong, close the window and open "
                "it again."
            )
        ]
        if log:
            lines.append(
                tr("A report without any reading or name was written to {file}.").format(file=log)
            )
        tell(self._window, tr("Something went wrong"), *lines, closed=self._on_told)

    def _on_told(self) -> None:
        self._is_telling = False


def tr(text: str) -> str:
    """Translate a text of this window."""
    return QCoreApplication.translate("TroubleHook", text)


def told(problem: BaseException, trace: TracebackType | None) -> list[str]:
    """The kind of an exception, where it came from and what caused it; nothing that it says."""
    lines = [f"{type(problem).__module__}.{type(problem).__qualname__}"]
    for frame in traceback.extract_tb(trace):
        place = "/".join(Path(frame.filename).parts[-3:])
        lines.append(f"  {place}:{frame.lineno} {frame.name}: {frame.line}")
    cause = problem.__cause__ or (None if problem.__suppress_context__ else problem.__context__)
    if cause is not None:
        lines += ["caused by", *told(cause, cause.__traceback__)]
    return lines


def write_report(state: Path, report: str) -> bool:
    """Add to the log in the state folder; whether it could be written."""
    return _write(state / LOG, report)


def _head(now: datetime) -> list[str]:
    from app.ui.dialogs import our_version

    ours = f"Thimblebook {our_version()}, Python {platform.python_version()}, Qt {qVersion()}"
    where = f"{platform.system()} {platform.release()}, thread {threading.current_thread().name}"
    return [f"-- {now.isoformat(timespec='seconds')}", f"{ours}, {where}"]


def _write(log: Path, report: str) -> bool:
    """Add to the log, for this user's eyes only; whether it could be written."""
    try:
        log.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if log.exists() and log.stat().st_size > _LARGEST:
            log.replace(log.with_suffix(".old.log"))
        with os.fdopen(os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600), "a") as file:
            file.write(report)
    except OSError:
        return False
    return True
