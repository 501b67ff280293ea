"""What the clock of a meter shows: set right, left alone, restarted or set wrong."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby
from uuid import UUID

from app.domain.clock import Moment
from sample_db.records import NO_UID, ControlTest, Result


@dataclass(frozen=True, slots=True)
class ClockSetting:
    """A moment at which a meter's clock was given a new time, rightly or wrongly."""

    meter: str
    at: Moment
    shown_after: datetime
    cause: str
    shown_before: datetime | None = None
    uid: UUID = NO_UID


@dataclass(frozen=True, slots=True)
class ClockRepair:
    """A stretch of a memory whose stamps are all wrong by the same time.

    `shift_s` is what has to be added to a stamp; `true_wall` is the wall time at which the clock
    showed `raw_wall`, the anchor that says so.
    """

    meter: str
    first_order: int
    last_order: int
    count: int
    shift_s: int
    raw_wall: str
    true_wall: str
    why: str
    uid: UUID = NO_UID


def shown_by(settings: Sequence[ClockSetting], meter: str, at: Moment) -> datetime:
    """The wall time that a meter shows at a moment: its last setting plus the time since then."""
    last = _setting_before(settings, meter, at)
    return last.shown_after + timedelta(seconds=at.instant - last.at.instant)


def with_times_before(settings: Iterable[ClockSetting]) -> tuple[ClockSetting, ...]:
    """The settings in order of time, each with what the clock showed just before it."""
    known: list[ClockSetting] = []
    for setting in sorted(settings, key=lambda each: each.at.instant):
        before = None
        if any(each.meter == setting.meter for each in known):
            before = shown_by(known, setting.meter, setting.at)
        known.append(
            ClockSetting(setting.meter, setting.at, setting.shown_after, setting.cause, before)
        )
    return tuple(known)


def repairs_of(
    settings: Sequence[ClockSetting], records: Sequence[Result | ControlTest], home: str
) -> tuple[ClockRepair, ...]:
    """The stretches to repair, from records in the order of their memories.

    On a journey a meter that was left on home time is right in its own zone: no repair.
    """
    found = []
    for (meter, shift), group in groupby(records, key=lambda each: _meter_and_shift(each, home)):
        rows = list(group)
        if not shift or meter is None:
            continue
        orders = [row.memory_order for row in rows if row.memory_order is not None]
        cause = _setting_before(settings, meter, rows[0].moment)
        # A clock that nobody touched when summer time changed has no setting of its own to name;
        # its first wrong record is the anchor then.
        is_own = cause.at.local != cause.shown_after
        found.append(
            ClockRepair(
                meter=meter,
                first_order=orders[0],
                last_order=orders[-1],
                count=len(rows),
                shift_s=shift,
                raw_wall=cause.shown_after.isoformat(timespec="minutes")
                if is_own
                else str(rows[0].stamp.wall),
                true_wall=cause.at.wall if is_own else rows[0].moment.wall,
                why=cause.cause if is_own else "clock not changed for summer or winter time",
            )
        )
    return tuple(found)


def _meter_and_shift(record: Result | ControlTest, home: str) -> tuple[str | None, int]:
    if record.memory_order is None or record.stamp.wall is None or record.moment.zone != home:
        return record.meter, 0
    stamped = datetime.fromisoformat(record.stamp.wall)
    return record.meter, int((record.moment.local - stamped).total_seconds())


def _setting_before(settings: Sequence[ClockSetting], meter: str, at: Moment) -> ClockSetting:
    return max(
        (each for each in settings if each.meter == meter and each.at.instant <= at.instant),
        key=lambda each: each.at.instant,
    )
