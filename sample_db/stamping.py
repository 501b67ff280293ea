"""The raw side of a lived year: what meters wrote into their memories, and what paper shows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from app.domain.reading import Stamp
from sample_db.clocks import ClockSetting, repairs_of, shown_by, with_times_before
from sample_db.household import Household
from sample_db.meters import code_of, paper_code_of
from sample_db.records import ControlTest, Ketone, Result


def stamped(
    home: Household,
    results: Sequence[Result],
    controls: Sequence[ControlTest],
    settings: Iterable[ClockSetting],
) -> Household:
    """The household with its tests in order of time, each with the stamp of its source."""
    clocks = with_times_before(settings)
    taken: list[Result | ControlTest] = [*results, *controls]
    memories = [
        record
        for meter in home.meters
        for record in _memory(home, [each for each in taken if each.meter == meter.name], clocks)
    ]
    from_meters = [each for each in memories if isinstance(each, Result)]
    from_paper = [_on_paper(each) for each in results if each.meter is None]
    return replace(
        home,
        results=tuple(sorted([*from_meters, *from_paper], key=by_time)),
        controls=tuple(
            sorted((each for each in memories if isinstance(each, ControlTest)), key=by_time)
        ),
        clock_settings=clocks,
        clock_repairs=repairs_of(clocks, memories, home.wishes.zone),
    )


def by_time(record: Result | ControlTest | Ketone) -> int:
    """The instant of a record, to sort by."""
    return record.moment.instant


def _memory(
    home: Household, taken: Iterable[Result | ControlTest], clocks: Sequence[ClockSetting]
) -> list[Result | ControlTest]:
    """What a meter recorded, in its order.

    A record that is left on paper alone keeps its place in the order but has none of its own.
    """
    return [
        _on_paper(record)
        if isinstance(record, Result) and record.time_from == "paper"
        else _in_memory(home, record, clocks, order)
        for order, record in enumerate(sorted(taken, key=by_time), start=1)
    ]


def _in_memory(
    home: Household, record: Result | ControlTest, clocks: Sequence[ClockSetting], order: int
) -> Result | ControlTest:
    wall = shown_by(clocks, str(record.meter), record.moment)
    is_home = record.moment.zone == home.wishes.zone
    state = "repaired" if is_home and wall != record.moment.local else "sure"
    text = wall.isoformat(timespec="minutes")
    if isinstance(record, Result):
        stamp = Stamp(text, record.glucose.value, record.glucose.unit.value, code_of(record))
        return replace(record, stamp=stamp, memory_order=order, time_state=state)
    stamp = Stamp(text, record.value, record.unit.value, code_of(record))
    return replace(record, stamp=stamp, memory_order=order, time_state=state)


def _on_paper(result: Result) -> Result:
    """The result with the stamp that the paper shows, unless the script gave it one."""
    if result.stamp.wall is not None:
        return result
    stamp = Stamp(
        result.moment.wall, result.glucose.value, result.glucose.unit.value, paper_code_of(result)
    )
    return replace(result, stamp=stamp)
