"""Long work in another thread that holds the window up as little as can be."""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable
from threading import Lock
from typing import TypeVar

_Found = TypeVar("_Found")
_LET_BY_SECONDS = 0.0001

_lock = Lock()
_usual: list[float] = []  # one entry for each call under way: how things were before it


def quietly(does: Callable[..., _Found], *with_: object, **more: object) -> _Found:
    """Call so that the window is held up as little as can be.

    The collector of rubbish looks at every object of a large file over and over, and meanwhile no
    thread moves on; what is there at the end it leaves alone for ever. And at each of its calls
    into Qt, the thread that paints waits until this one is asked to let it by: a tenth of a millisecond
    instead of five. Several such calls may be under way: the last one sets things back.
    """
    with _lock:
        _usual.append(_usual[-1] if _usual else sys.getswitchinterval())
        gc.disable()
        sys.setswitchinterval(_LET_BY_SECONDS)
    try:
        return does(*with_, **more)
    finally:
        with _lock:
            usual = _usual.pop()
            if not _usual:
                sys.setswitchinterval(usual)
                gc.freeze()
                gc.enable()
