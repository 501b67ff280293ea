"""A check of a meter's memory is kept: what it found, and of which backup it spoke."""

from __future__ import annotations

from datetime import datetime

from app.domain.kit import Meter
from app.domain.person import Person
from app.store.diary import Diary
from app.store.memory_copies import CheckCounts, last_check, write_check


def keep_check(
    diary: Diary, person: Person, meter: Meter, counts: CheckCounts, *, now: datetime
) -> bool:
    """Keep what a check found, where it is not what the last one found; whether it was written.

    A diary that can only be read keeps none.
    """
    with diary.reading() as connection:
        if last_check(connection, meter.id) == counts:
            return False
    if not diary.writable:
        return False
    words = {
        "meter": meter.name,
        "total": counts.total,
        "not_copied": counts.not_copied,
    }
    with diary.change("memory_check", words, now=now, person=person) as change:
        write_check(change, meter.id, counts)
    return True
