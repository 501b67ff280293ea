"""The lock that lets one window at a time hold a diary: a small file beside it.

The lock itself is the operating system's, on that file, so that it is free at once when its holder
ends in whatever way. What stands in the file says who holds it: to tell the person, and because
such locks do not reach other computers. Commands take none; they rely on SQLite's own locks.
"""

from __future__ import annotations

import json
import os
import platform
from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path

from app.domain.errors import StoreUnavailable

_TRIES = 5  # between our opening the file and locking it, its last holder may have removed it
_LOCKED_AT = 1 << 30  # Windows locks bytes against reading too, so one beyond the words


@dataclass(frozen=True, slots=True)
class Holder:
    """Who holds the lock: the process, the name of its computer, and since when (ISO text, UTC)."""

    pid: int
    host: str
    since: str


class AlreadyOpen(StoreUnavailable):
    """Another window holds the diary; `here` says whether on this computer."""

    def __init__(self, sentence: str, holder: Holder | None, *, here: bool) -> None:
        super().__init__(sentence)
        self.holder = holder
        self.here = here


class WindowLock:
    """The lock of one window on one diary. Who takes it releases it; death releases it too.

    `held` is False where no lock can be made, in a folder that can only be read: nothing can be
    changed there by any window, so nothing needs to be locked. `left_by` is who held it before and
    ended without letting go of it: a crash, a kill or a power cut.
    """

    def __init__(self, file: Path, handle: int | None, *, left_by: Holder | None = None) -> None:
        self.file = file
        self.left_by = left_by
        self._handle = handle

    @property
    def held(self) -> bool:
        """Whether this window holds the lock."""
        return self._handle is not None

    def release(self) -> None:
        """Let the next window in; a second time does nothing."""
        handle, self._handle = self._handle, None
        if handle is None:
            return
        if os.name == "nt":  # there, an open file can't be removed
            os.close(handle)
            with suppress(OSError):  # the next window has it open already
                self.file.unlink()
            return
        with suppress(OSError):
            self.file.unlink()  # while it is locked: whoever waits for it looks again
        os.close(handle)

    def __enter__(self) -> WindowLock:
        return self

    def __exit__(self, *_: object) -> None:
        self.release()


def lock_file(diary: Path) -> Path:
    """Where the lock of a diary lies."""
    return diary.with_name(f".{diary.name}.lock")


def take_lock(diary: Path, *, now: datetime, host: str | None = None) -> WindowLock:
    """Take the window's lock on a diary, at once or not at all.

    Parameters
    ----------
    now : datetime
        The aware time that stands in the lock.
    host : str, optional
        The name of this computer, for tests.

    Raises
    ------
    AlreadyOpen
        A window holds it: on this computer (raise that one), or, by what stands in the lock, on
        another, where nobody can see from here whether it still does. That lock is left as it is.
    """
    file = lock_file(diary.resolve())
    mine = Holder(os.getpid(), host or platform.node(), now.isoformat(timespec="seconds"))
    for _ in range(_TRIES):
        try:
            handle = os.open(file, os.O_RDWR | os.O_CREAT, 0o600)
        except OSError:
            return WindowLock(file, None)
        try:
            if not _lock(handle):
                raise _open_here(diary, _holder_in(handle))
            if not _is_at(handle, file):
                os.close(handle)
                continue
            found = _holder_in(handle)
            if found is not None and found.host != mine.host:
                raise _open_elsewhere(diary, file, found)
            _write(handle, mine)
        except BaseException:
            os.close(handle)
            raise
        return WindowLock(file, handle, left_by=found)
    raise _open_here(diary, None)


def _holder_in(handle: int) -> Holder | None:
    try:
        os.lseek(handle, 0, os.SEEK_SET)
        found = json.loads(os.read(handle, 4096))
        return Holder(int(found["pid"]), str(found["host"]), str(found["since"]))
    except (OSError, ValueError, KeyError, TypeError):  # nothing yet, or torn: the lock counts
        return None


def _write(handle: int, holder: Holder) -> None:
    with suppress(OSError):  # a full disk: the lock is ours all the same
        os.ftruncate(handle, 0)
        os.lseek(handle, 0, os.SEEK_SET)
        os.write(handle, json.dumps(asdict(holder)).encode())


def _is_at(handle: int, file: Path) -> bool:
    """Whether the file that we locked is still the one that others find."""
    try:
        return os.path.samestat(os.fstat(handle), file.stat())
    except OSError:
        return False


def _open_here(diary: Path, holder: Holder | None) -> AlreadyOpen:
    who = f" (process {holder.pid})" if holder else ""
    return AlreadyOpen(
        f"{diary} is open in another window on this computer{who}. Nothing was changed; "
        "go on there, or close it first.",
        holder,
        here=True,
    )


def _open_elsewhere(diary: Path, file: Path, holder: Holder) -> AlreadyOpen:
    return AlreadyOpen(
        f'{diary} was opened on the computer "{holder.host}" at {holder.since} and not closed '
        f"there. Nothing was changed; close it there. If that computer no longer has it open, "
        f"remove {file} and open it again.",
        holder,
        here=False,
    )


def _lock_of_system() -> Callable[[int], bool]:
    """How this system locks a file for a process; the answer says whether we got it."""
    if os.name == "nt":
        import msvcrt

        def lock(handle: int) -> bool:
            os.lseek(handle, _LOCKED_AT, os.SEEK_SET)
            try:
                msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
            except OSError:
                return False
            return True

        return lock
    import fcntl

    def lock_posix(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:  # a file system without such locks; what stands in the file must do
            found = _holder_in(handle)
            return found is None or found.host != platform.node() or not _lives(found.pid)
        return True

    return lock_posix


def _lives(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


_lock = _lock_of_system()
