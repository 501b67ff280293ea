"""Records of a memory that look like control tests which nobody marked as such."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

from app.domain.control import side_of
from app.domain.control_due import AFTER_EVENTS
from app.domain.glucose import Bound, Glucose
from app.domain.kit import ControlRange, Kit
from app.domain.vials_used import stretches_of, vial_at

# A control test belongs at the beginning of a vial and after what can harm the kit; a record there
# is asked about within a day, and only the first ones. A rule of this diary.
WITHIN_SECONDS = 24 * 3600
FIRST_RECORDS = 2


@dataclass(frozen=True, slots=True)
class FromMemory:
    """A record of a memory: when (UTC seconds), its result, whether it bears a mark of a meal."""

    instant: int
    glucose: Glucose
    marked: bool


def control_suspects(
    kit: Kit, meter: int, records: Sequence[FromMemory]
) -> dict[int, ControlRange]:
    """The records that could be control tests, by their place, with the range they lie in.

    Those are unmarked results inside a range printed on the vial in use, among the first records
    after that vial was begun or something happened that asks for a control test.

    Parameters
    ----------
    meter : int
        The meter's local id.
    records : sequence of FromMemory
        In any order.
    """
    by_time = sorted(range(len(records)), key=lambda place: records[place].instant)
    times = [records[place].instant for place in by_time]
    stretches = stretches_of(kit.uses)
    begins = {use.start for use in kit.uses if use.meter == meter}
    begins |= {each.at for each in kit.events if each.meter == meter and each.kind in AFTER_EVENTS}
    found: dict[int, ControlRange] = {}
    for begin in begins:
        first = bisect_left(times, begin)
        for place in by_time[first : first + FIRST_RECORDS]:
            record = records[place]
            if record.marked or record.instant - begin > WITHIN_SECONDS:
                continue
            vial = kit.vial(vial_at(stretches, meter, record.instant) or None)
            printed = range_around(record.glucose, vial.ranges if vial else ())
            if printed is not None:
                found[place] = printed
    return found


def range_around(glucose: Glucose, ranges: Sequence[ControlRange]) -> ControlRange | None:
    """The first printed range that a result lies in, both ends included."""
    if glucose.bound is not Bound.EXACT:
        return None
    return next((each for each in ranges if side_of(glucose, each) is None), None)
