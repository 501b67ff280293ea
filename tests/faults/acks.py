"""What was begun and what was said to be done, in a file of its own that every line reaches."""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from pathlib import Path


@dataclass(slots=True)
class Acks:
    """The numbers of the tries that were begun (`tried`) and acknowledged (`done`)."""

    path: Path
    tried: list[int] = field(default_factory=list)
    done: list[int] = field(default_factory=list)

    @classmethod
    def of(cls, path: Path) -> Acks:
        """Read what is there; a last line cut short by a kill was never acknowledged."""
        found = cls(path)
        if path.exists():
            for line in path.read_text().splitlines(keepends=True):
                if line.endswith("\n"):
                    kind, number = line.split()
                    (found.tried if kind == "t" else found.done).append(int(number))
        return found

    @property
    def next(self) -> int:
        """A number that was not tried yet."""
        return max(self.tried, default=0) + 1

    def begin(self, number: int) -> None:
        """Say that a try begins."""
        self._line("t", number)
        self.tried.append(number)

    def acknowledge(self, number: int) -> None:
        """Say that the program said it was done."""
        self._line("a", number)
        self.done.append(number)

    def _line(self, kind: str, number: int) -> None:
        handle = os.open(self.path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
        try:
            os.write(handle, f"{kind} {number}\n".encode())
            os.fsync(handle)
        finally:
            os.close(handle)
