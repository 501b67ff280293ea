"""Where the journal ends: whoever holds something read can tell whether anything was changed."""

from __future__ import annotations

from app.store.diary import Diary

_NEWEST = "SELECT ifnull(max(id), 0) FROM journal_entry"


def newest_entry(diary: Diary) -> int:
    """The local id of the newest change; it never falls."""
    with diary.driver() as driver:
        return int(driver.execute(_NEWEST).fetchone()[0])
