"""Wall times of a file become moments: in one zone, gaps and overlaps flagged, never shifted."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta, timezone
from itertools import pairwise
from typing import Any

from app.domain.clock import EARLIEST_INSTANT, LATEST_INSTANT, offsets_of, zone_named

SURE, GAP, OVERLAP, UNDATED = "sure", "gap", "overlap", "undated"

_EPOCH = datetime(1970, 1, 1)  # noqa: DTZ001 - wall times are naive here
_EPOCH_DAY = _EPOCH.toordinal()
NO_MOMENT = (None, None, None, None, None, None)

Moment = tuple[Any, ...]  # instant, wall, zone, offset_min, day, minute


class FileTimes:
    """Turns the wall times of one file into moments, in the order of the file.

    Offsets are kept by day: on all but two days of a year one holds from midnight to midnight. In
    the hour that comes twice, a step back in the file's order says which of the two is meant;
    without one the first is taken and the row is flagged.
    """

    def __init__(self, zone: str) -> None:
        self._zone = zone
        self._place = zone_named(zone)
        self._days: dict[int, int | None] = {}
        self._latest: datetime | None = None
        self._second_pass_of: int | None = None  # the day whose repeated hour came a second time

    def moment(
        self, wall: datetime, offset_min: int | None, *, exactly: bool = False
    ) -> tuple[Moment, str] | None:
        """The columns of a moment and the state of its time; None outside 1970 to 2199.

        With `exactly`, a given offset is kept even where the place never had it: a record of a
        diary comes back as it was, one in a skipped hour too.
        """
        if offset_min is not None and not exactly and offset_min not in self._offsets(wall):
            wall, offset_min = self._lived(wall, offset_min)
        day = wall.toordinal()
        state = SURE
        if offset_min is None:
            offset_min = self._offset_of_day(day, wall)
            if offset_min is None:
                offset_min, state = self._odd_hour(wall)
        self._latest = wall
        minutes = wall.hour * 60 + wall.minute
        instant = (day - _EPOCH_DAY) * 86400 + minutes * 60 + wall.second - offset_min * 60
        if not EARLIEST_INSTANT <= instant <= LATEST_INSTANT:
            return None
        text = wall.isoformat(timespec="seconds" if wall.second else "minutes")
        return (instant, text, self._zone, offset_min, day, minutes), state

    def _offsets(self, wall: datetime) -> tuple[int, ...]:
        return offsets_of(wall, self._zone)

    def _lived(self, wall: datetime, offset_min: int) -> tuple[datetime, int]:
        """The wall time of the place for a time that was written with another offset."""
        there = timezone(timedelta(minutes=offset_min))
        local = wall.replace(tzinfo=there).astimezone(self._place)
        offset = local.utcoffset() or timedelta(0)
        return local.replace(tzinfo=None), int(offset.total_seconds() // 60)

    def _offset_of_day(self, day: int, wall: datetime) -> int | None:
        """The offset that holds all day long, or None on a day that changes it."""
        if day not in self._days:
            midnight = datetime.combine(wall.date(), datetime.min.time())
            ends = [offsets_of(midnight + timedelta(days=more), self._zone) for more in (0, 1)]
            steady = ends[0] == ends[1] and len(ends[0]) == 1
            self._days[day] = ends[0][0] if steady else None
        return self._days[day]

    def _odd_hour(self, wall: datetime) -> tuple[int, str]:
        offsets = self._offsets(wall)
        if len(offsets) == 1:
            return offsets[0], SURE
        if not offsets:
            before = wall.replace(tzinfo=self._place, fold=0).utcoffset() or timedelta(0)
            return int(before.total_seconds() // 60), GAP
        if self._latest is not None and wall < self._latest < wall + timedelta(hours=3):
            self._second_pass_of = wall.toordinal()
        second = self._second_pass_of == wall.toordinal()
        return (offsets[1], SURE) if second else (offsets[0], OVERLAP)


def runs_backwards(walls: Iterable[datetime]) -> bool:
    """Whether a file lists its newest row first: most steps from row to row lead back in time.

    A single jump, as of a meter whose clock began anew, doesn't turn the file round.
    """
    back = forth = 0
    for before, after in pairwise(walls):
        back += after < before
        forth += after > before
    return back > forth
