"""One SQLite file of the whole diary without what was freed in it, looked at before it is good."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from app.domain.errors import StoreUnavailable
from app.domain.steps import Step
from app.store.backup_check import counts_of
from app.store.check import check_file
from app.store.diary import Diary
from app.store.file import unreadable, uri
from app.store.stopping import stoppable


class _Halves:
    """Tells of a copy and of the look at it as of two halves of one work, counted in pages."""

    def __init__(self, source: sqlite3.Connection, target: Path, step: Step | None) -> None:
        names = ("page_count", "freelist_count", "page_size")
        pages, free, self._size = (
            int(source.execute(f"PRAGMA {name}").fetchone()[0]) for name in names
        )
        self._pages, self._target, self._step = max(1, pages - free), target, step

    def copied(self) -> None:
        """The copy has come as far as its size shows."""
        if self._step is not None:
            there = self._target.stat().st_size // self._size
            self._step(min(there, self._pages), 2 * self._pages)

    def looked(self, done: int, of: int) -> None:
        """So many looks at the copy are done."""
        if self._step is not None:
            self._step(self._pages + self._pages * done // of, 2 * self._pages)


def compact_copy(diary: Diary, target: Path, *, step: Step | None = None) -> None:
    """Write the diary into an empty file by VACUUM INTO, and look at the whole of what came of it.

    Parameters
    ----------
    step : callable, optional
        Told the pages written and those to be written, as far as the copy's size shows them; what
        it raises ends the copy.

    Raises
    ------
    StoreUnavailable
        The diary can't be read, there is no room, or the copy did not pass the check.
    """
    diary.still_there()
    try:
        with closing(
            sqlite3.connect(
                uri(diary.path, writable=False), uri=True, timeout=5, isolation_level=None
            )
        ) as source:
            before = counts_of(source)
            steps = _Halves(source, target, step)
            with stoppable(source, steps.copied):
                source.execute("VACUUM INTO ?", (str(target),))
        with closing(sqlite3.connect(uri(target, writable=False), uri=True)) as copy:
            after = counts_of(copy)
    except sqlite3.Error as problem:
        if getattr(problem, "sqlite_errorname", "") == "SQLITE_FULL":
            raise StoreUnavailable(
                f"Nothing was written: the disk of {target.parent} is full. The diary is as it "
                "was; make room there, or name another folder."
            ) from problem
        raise unreadable(diary.path, problem) from problem
    wrong = check_file(target, step=steps.looked).wrong
    # Another program may have written between the count and the copy: rows only become more.
    fewer = any(after.get(name, 0) < count for name, count in before.items())
    if wrong or fewer:
        raise StoreUnavailable(
            "Nothing was written: the copy did not pass the full check"
            f"{f' ({wrong[0]})' if wrong else ''}. The diary is as it was; look at it with: "
            "thimblebook check"
        )
