"""A look over a diary file in a thread of its own, while the program does something else."""

from __future__ import annotations

from pathlib import Path
from threading import Thread

from app.store.file import DiaryFile, inspect


class Looking:
    """Begun when it is made. SQLite works without holding Python up."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._found: DiaryFile | Exception | None = None
        self._thread = Thread(target=self._look, name="looking the diary over")
        self._thread.start()

    def found(self) -> DiaryFile | None:
        """Wait for what was found; None where there is no file.

        Raises
        ------
        DiaryError
            It is not ours, newer, damaged, or can't be read: said in one sentence.
        """
        self._thread.join()
        if isinstance(self._found, Exception):
            raise self._found
        return self._found

    def _look(self) -> None:
        try:
            self._found = inspect(self._path) if _is_there(self._path) else None
        except Exception as problem:  # whatever it is, who waits must hear of it
            self._found = problem


def _is_there(path: Path) -> bool:
    try:
        path.stat()
    except FileNotFoundError:
        return False
    except OSError:
        return True  # and `inspect` says why it can't be read
    return True
