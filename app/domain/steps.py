"""How far long work has come, told now and then; whoever is told may stop it by raising."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

from app.domain.errors import DiaryError

Step = Callable[[int, int], None]  # done, of how many; what it raises ends the work

_One = TypeVar("_One")
_EVERY = 500  # rows between two reports


class Stopped(DiaryError):
    """The person stopped what was under way; everything is as it was before."""


class Steps:
    """Counts what is done of so many, and tells of it.

    Parameters
    ----------
    step : callable or None
        Told (done, of); None counts nothing.
    of : int
        How many there are in all.
    every : int
        How many are done between two reports.
    """

    def __init__(self, step: Step | None, of: int, *, every: int = _EVERY) -> None:
        self._step, self._of, self._every = step, of, every
        self._done = 0
        if step is not None:
            step(0, of)

    def through(self, items: Iterable[_One]) -> Iterator[_One]:
        """The same items; each one counts as done once the next is asked for."""
        if self._step is None:
            yield from items
            return
        for each in items:
            yield each
            self._done += 1
            if self._done % self._every == 0 or self._done == self._of:
                self._step(min(self._done, self._of), self._of)
