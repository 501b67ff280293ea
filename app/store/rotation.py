"""Which backups may go: ages decide and never a number alone, and the newest good one stays."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from datetime import date, datetime, timedelta
from pathlib import Path

from app.store.backup_facts import (
    BackupFacts,
    list_backups,
    local,
    newest_verified,
    sidecar,
)
from app.store.durable import sync_folder

ASKED = "asked"
# Rules of this diary. Of a week and of a month the first one stays and not the last: whatever went
# wrong in a month, a state from before it is then never younger than that month.
DAYS, WEEKS, MONTHS = 7, 4, 12


def rotate(diary_path: Path, *, now: datetime) -> tuple[Path, ...]:
    """Remove the backups beside a diary that have had their time; gives their paths.

    What a person asked for, what never passed a check and the newest good one are left alone.
    """
    found = list_backups(diary_path)
    newest = newest_verified(diary_path, certain=True)
    gone = []
    for each in outlived(found, now=now):
        if newest is not None and each.path != newest.path:
            with suppress(OSError):  # it stays until it can be removed
                each.path.unlink()
                sidecar(each.path).unlink(missing_ok=True)
                gone.append(each.path)
    if gone:
        sync_folder(gone[0].parent)
    return tuple(gone)


def outlived(found: Iterable[BackupFacts], *, now: datetime) -> list[BackupFacts]:
    """Of backups, the oldest first, those that no rule keeps.

    Those that shrank are sorted by themselves: they take no other's place.
    """
    rotated = [each for each in found if each.why != ASKED and each.verified_at is not None]
    gone = []
    for apart in (False, True):
        taken: set[tuple[str, date]] = set()
        for each in rotated:
            if each.apart == apart and not _kept(each, local(now, each.zone).date(), taken):
                gone.append(each)
    return gone


def _kept(each: BackupFacts, today: date, taken: set[tuple[str, date]]) -> bool:
    day = each.local_day
    monday, first = day - timedelta(days=day.weekday()), day.replace(day=1)
    weeks = (today - timedelta(days=today.weekday()) - monday).days // 7
    months = (today.year - day.year) * 12 + today.month - day.month
    is_first_of = {("week", monday), ("month", first)} - taken
    taken |= is_first_of
    return (
        (today - day).days < DAYS
        or (weeks <= WEEKS and ("week", monday) in is_first_of)
        or (months <= MONTHS and ("month", first) in is_first_of)
    )
