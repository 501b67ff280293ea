"""From wall time to instant for what is planned: the gap and the overlap of a clock change, travel.

RFC 5545, section 3.3.5: a local time that does not exist uses the offset in force before the gap; a
local time that occurs twice means the first.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta, tzinfo
from typing import Literal

# Where somebody is: from which instant (UTC seconds) on the clocks of which zone; the first entry
# also counts before its instant.
Places = Sequence[tuple[int, tzinfo]]

Hour = Literal["plain", "skipped", "repeated"]

_EPOCH = datetime(1970, 1, 1)  # noqa: DTZ001 - wall times are naive here
_SECOND = timedelta(seconds=1)


def instant_of(wall: datetime, zone: tzinfo) -> tuple[int, Hour]:
    """The instant (UTC seconds) of a naive wall time, and whether its hour is an odd one.

    >>> from zoneinfo import ZoneInfo
    >>> instant, hour = instant_of(datetime(2026, 3, 29, 2, 30), ZoneInfo("Europe/Paris"))
    >>> datetime.fromtimestamp(instant, ZoneInfo("Europe/Paris")).isoformat(), hour
    ('2026-03-29T03:30:00+02:00', 'skipped')
    """
    first = zone.utcoffset(wall.replace(tzinfo=zone))
    second = zone.utcoffset(wall.replace(tzinfo=zone, fold=1))
    if first is None or second is None:
        raise ValueError(f"the zone knows no offset: {zone}")
    instant = (wall - _EPOCH - first) // _SECOND
    if first == second:
        return instant, "plain"
    # In a gap the first offset is the one before it, which is the smaller one.
    return instant, "skipped" if first < second else "repeated"


def wall_at(instant: int, zone: tzinfo) -> datetime:
    """The wall time of an instant, aware of its offset."""
    return datetime.fromtimestamp(instant, UTC).astimezone(zone)


def instant_where(wall: datetime, places: Places) -> tuple[int, Hour]:
    """The instant of a wall time by the clocks of wherever somebody is then.

    Flying west repeats hours, flying east skips some: the first of two times is meant, and one that
    is skipped is counted by the clocks of the place that was left.
    """
    if len(places) == 1:
        return instant_of(wall, places[0][1])
    left: tuple[int, Hour] | None = None
    for turn, (_, zone) in enumerate(places):
        instant, hour = instant_of(wall, zone)
        begins = places[turn][0] if turn else None
        ends = places[turn + 1][0] if turn + 1 < len(places) else None
        if ends is not None and instant >= ends:
            left = instant, "skipped"
            continue
        if begins is None or instant >= begins:
            return instant, hour
        break
    return left if left is not None else instant_of(wall, places[0][1])


def zone_at(instant: int, places: Places) -> tzinfo:
    """The zone of wherever somebody is at an instant."""
    found = places[0][1]
    for begins, zone in places[1:]:
        if begins <= instant:
            found = zone
    return found
