"""When the clocks of a zone are put forward or back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from app.domain.clock import zone_named

_DAY_S = 86_400


@dataclass(frozen=True, slots=True)
class ZoneChange:
    """A change of a zone's offset: its instant (UTC seconds), minutes forward (back below 0)."""

    instant: int
    minutes: int


def zone_changes(zone: str, first: int, last: int) -> tuple[ZoneChange, ...]:
    """The changes of a zone's offset between two instants (UTC seconds), to the minute.

    >>> [change.minutes for change in zone_changes("Europe/Lisbon", 1767225600, 1798675200)]
    [60, -60]
    """
    found = []
    at, before = first, offset_at(zone, first)
    while at < last:
        ahead = min(at + _DAY_S, last)
        after = offset_at(zone, ahead)
        if after != before:
            low, high = at, ahead
            while high - low > 60:
                middle = (low + high) // 2
                low, high = (middle, high) if offset_at(zone, middle) == before else (low, middle)
            found.append(ZoneChange(high // 60 * 60, after - before))
        at, before = ahead, after
    return tuple(found)


def offset_at(zone: str, instant: int) -> int:
    """The UTC offset, in minutes, that is in force in a zone at an instant."""
    offset = datetime.fromtimestamp(instant, UTC).astimezone(zone_named(zone)).utcoffset()
    return int((offset or timedelta(0)).total_seconds() // 60)
