"""When something planned changes next by time alone: what a reminder waits for."""

from __future__ import annotations

from collections.abc import Iterable

from app.statistics.schedule.settle import OPEN, Settled


def next_wake_up(settled: Iterable[Settled], *, now: int) -> int | None:
    """The next instant (UTC seconds) after `now` at which a test becomes due, overdue or missed.

    None where nothing that is held can change by time alone. It is a time to look again, never to
    be slept through in one go: clocks are set, computers sleep.
    """
    found: int | None = None
    for each in settled:
        if each.state not in OPEN:
            continue
        planned = each.occurrence
        for at in (planned.instant, planned.closes + 1, planned.late_until + 1):
            if at > now:
                found = at if found is None else min(found, at)
                break
    return found
