"""A child of this process that does one thing and ends in whatever way; told apart by its code."""

from __future__ import annotations

import os
import signal
import sys
import threading
import traceback
from collections.abc import Callable
from pathlib import Path

DONE, STOPPED, BUG, KILLED = 0, 3, 70, 137
"""Went well; said in a sentence why not; a traceback; died of the fault."""


def forked(do: Callable[[], int], said: Path) -> int:
    """Begin `do` in a child, its output in the file `said`; returns the child's number."""
    sys.stdout.flush()
    sys.stderr.flush()
    child = os.fork()
    if child:
        return child
    code = BUG
    try:
        handle = os.open(said, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        for stream in (1, 2):
            os.dup2(handle, stream)
        code = do()
    except BaseException:  # whatever it is, it is written down and the child ends here
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def ended(child: int) -> int:
    """Wait for a child; its code, or 137 where it was killed."""
    _, status = os.waitpid(child, 0)
    return KILLED if os.WIFSIGNALED(status) else os.waitstatus_to_exitcode(status)


def killed_after(child: int, seconds: float) -> bool:
    """Kill a child after some time, unless it ended before; says whether it was killed."""
    threading.Event().wait(seconds)
    os.kill(child, signal.SIGKILL)  # it stays known until it is waited for, so this meets nobody
    return ended(child) == KILLED
