"""A time zone for a calendar file: every change of its clocks in a few years, one by one.

Written out here because a library that was tried puts the spring change an hour late: RFC 5545,
section 3.6.5, gives an onset in the local time that was in force before it.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, tzinfo
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from icalendar import Timezone

_NONE = timedelta(0)
_STEP = timedelta(days=1)


def zone_component(name: str, zone: tzinfo, first_year: int, last_year: int) -> Timezone:
    """The VTIMEZONE of a zone, with its changes from a year to another, both included."""
    from icalendar import Timezone, TimezoneDaylight, TimezoneStandard, vUTCOffset

    found = Timezone()
    found.add("tzid", name)
    begin = datetime(first_year, 1, 1, tzinfo=UTC)
    end = datetime(last_year + 1, 1, 1, tzinfo=UTC)
    for at, before, after in [(begin, *_at(begin, zone)), *_changes(zone, begin, end)]:
        summer = bool(at.astimezone(zone).dst())
        part = TimezoneDaylight() if summer else TimezoneStandard()
        part.add("dtstart", at.replace(tzinfo=None) + before)
        part.add("tzoffsetfrom", vUTCOffset(before))
        part.add("tzoffsetto", vUTCOffset(after))
        part.add("tzname", at.astimezone(zone).tzname() or name)
        found.add_component(part)
    return found


def _at(instant: datetime, zone: tzinfo) -> tuple[timedelta, timedelta]:
    offset = _offset(instant, zone)
    return offset, offset


def _changes(
    zone: tzinfo, begin: datetime, end: datetime
) -> list[tuple[datetime, timedelta, timedelta]]:
    """Each change of the offset: its instant to the minute, the offset before and after."""
    found = []
    at = begin
    while at < end:
        after = at + _STEP
        before, later = _offset(at, zone), _offset(after, zone)
        if before != later:
            low, high = at, after
            while high - low > timedelta(minutes=1):
                middle = low + timedelta(minutes=(high - low) // timedelta(minutes=2))
                low, high = (middle, high) if _offset(middle, zone) == before else (low, middle)
            found.append((high, before, later))
        at = after
    return found


def _offset(instant: datetime, zone: tzinfo) -> timedelta:
    return instant.astimezone(zone).utcoffset() or _NONE
