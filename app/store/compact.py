"""One SQLite file of the whole diary without what was freed in it, looked at before it is good."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from app.domain.errors import StoreUnavailable
from app.store.backup_check import counts_of
from app.store.check import check_file
from app.store.diary import Diary
from app.store.file import unreadable, uri


def compact_copy(diary: Diary, target: Path) -> None:
    """Write the diary into an empty file by VACUUM INTO, and look at the whole of what came of it.

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
    wrong = check_file(target).wrong
    # Another program may have written between the count and the copy: rows only become more.
    fewer = any(after.get(name, 0) < count for name, count in before.items())
    if wrong or fewer:
        raise StoreUnavailable(
            "Nothing was written: the copy did not pass the full check"
            f"{f' ({wrong[0]})' if wrong else ''}. The diary is as it was; look at it with: "
            "thimblebook check"
        )
