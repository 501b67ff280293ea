"""How far a long command has come, in one line of the terminal that is wiped out at the end."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TextIO

from app.domain.steps import Step

_FROM = 10_000  # rows or pages; what is less is over before anybody looks


@contextmanager
def progress(stream: TextIO, what: str) -> Iterator[Step | None]:
    """Tell how far it has come, in whole per cent; nothing where the stream is no terminal.

    Parameters
    ----------
    stream : text stream
        Where messages go: what was asked for is never mixed with it.
    what : str
        What is done: "Writing".
    """
    if not stream.isatty():
        yield None
        return
    said = -1

    def step(done: int, of: int) -> None:
        nonlocal said
        percent = 100 * done // of if of else 100
        if of >= _FROM and percent != said:
            said = percent
            stream.write(f"\r{what}: {percent} %")
            stream.flush()

    try:
        yield step
    finally:
        if said >= 0:
            stream.write(f"\r{' ' * len(f'{what}: 100 %')}\r")
            stream.flush()
