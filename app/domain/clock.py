"""Wall time, zones, instants and diary days: one moment, told apart from how it was written."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from app.domain.errors import Refused

EARLIEST_INSTANT = 0
LATEST_INSTANT = 7258118400  # 2200-01-01, as in the table's CHECK
FUTURE_SECONDS = 600  # a clock may be a little ahead; beyond ten minutes it is asked about


@dataclass(frozen=True, slots=True)
class Moment:
    """A point in time as it was lived: the instant, and the wall time of the place.

    `instant` is UTC seconds, `wall` naive ISO text to the minute or second, `offset_min` the offset
    in force. Order and intervals use the instant; time of day uses the wall time.
    """

    instant: int
    wall: str
    zone: str
    offset_min: int

    @property
    def local(self) -> datetime:
        """The wall time, naive."""
        return datetime.fromisoformat(self.wall)

    @property
    def day(self) -> int:
        """The local calendar date as its proleptic ordinal."""
        return self.local.toordinal()

    @property
    def minute(self) -> int:
        """Minute of the local day, 0 to 1439."""
        return self.local.hour * 60 + self.local.minute


@lru_cache(maxsize=64)
def zone_named(name: str) -> ZoneInfo:
    """The zone of an IANA name; refuses anything else in a plain sentence."""
    try:
        if not name or name.startswith((".", "/")):
            raise ValueError(name)
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError) as problem:
        raise Refused(
            f'"{name}" is not a time zone known here. Give one as Region/City, '
            "for instance Europe/Lisbon or America/Chicago."
        ) from problem


def offsets_of(wall: datetime, zone: str) -> tuple[int, ...]:
    """The UTC offsets, in minutes, that a wall time can have in a zone, the earlier instant first.

    None in the hour that a spring change skips, two in the hour that an autumn change repeats.

    >>> offsets_of(datetime(2024, 10, 27, 2, 30), "Europe/Berlin")
    (120, 60)
    >>> offsets_of(datetime(2024, 3, 31, 2, 30), "Europe/Berlin")
    ()
    """
    place = zone_named(zone)
    found = []
    for fold in (0, 1):
        aware = wall.replace(tzinfo=place, fold=fold)
        offset = aware.utcoffset()
        if offset is None:  # ZoneInfo always knows; the type checker does not
            continue
        back = aware.astimezone(UTC).astimezone(place).replace(tzinfo=None)
        minutes = int(offset.total_seconds() // 60)
        if back == wall and minutes not in found:
            found.append(minutes)
    return tuple(found)


def moment_at(wall: datetime, zone: str, offset_min: int) -> Moment:
    """The moment of a naive wall time with a known offset."""
    instant = int((wall - timedelta(minutes=offset_min)).replace(tzinfo=UTC).timestamp())
    if not EARLIEST_INSTANT <= instant <= LATEST_INSTANT:
        raise Refused(f"{wall:%Y-%m-%d} lies outside 1970 to 2199; look at the year.")
    wall_text = wall.isoformat(timespec="seconds" if wall.second else "minutes")
    return Moment(instant, wall_text, zone, offset_min)


def moment_now(now: datetime, zone: str) -> Moment:
    """The moment of an aware time, to the minute, on the clocks of `zone`."""
    local = now.astimezone(zone_named(zone)).replace(second=0, microsecond=0)
    offset = local.utcoffset() or timedelta(0)
    return moment_at(local.replace(tzinfo=None), zone, int(offset.total_seconds() // 60))


def diary_day(moment: Moment, day_start: int) -> int:
    """The ordinal of the diary day of a moment, days starting at a whole hour from 0 to 6."""
    return moment.day - (moment.minute < day_start * 60)


@dataclass(frozen=True, slots=True)
class Period:
    """Whole diary days, both ends included."""

    first: date
    last: date

    def __post_init__(self) -> None:
        if self.first > self.last:
            raise Refused(f"The period ends before it begins: {self.first} to {self.last}.")

    @property
    def days(self) -> int:
        """The number of diary days."""
        return (self.last - self.first).days + 1


def last_days(days: int, ending: date) -> Period:
    """`days` whole diary days ending with `ending`, that day included.

    >>> last_days(14, date(2024, 3, 15)).first
    datetime.date(2024, 3, 2)
    """
    if days < 1:
        raise Refused(f"A period has at least one day; {days} was asked for.")
    if days > ending.toordinal():
        raise Refused(f"{days} days reach back beyond the calendar; ask for fewer.")
    return Period(ending - timedelta(days=days - 1), ending)
