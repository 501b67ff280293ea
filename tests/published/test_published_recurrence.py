"""Recurrence as RFC 5545 prints it, through our own expansion: section 3.8.5.3, New York."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from app.statistics.schedule.expand import occurrences_of
from app.statistics.schedule.rule import Occurrence, Rule

NEW_YORK = ZoneInfo("America/New_York")

# V: dates read in a public copy of the RFC; M: dates from memory. Each agrees with dateutil too.
# The number of dates limits how many of an endless rule are looked at.
START = "1997-09-02"
PRINTED = [
    (
        "V",
        START,
        "FREQ=DAILY;COUNT=10",
        "09-02 09-03 09-04 09-05 09-06 09-07 09-08 09-09 09-10 09-11",
    ),
    ("V", START, "FREQ=DAILY;INTERVAL=2", "09-02 09-04 09-06 09-08 09-10 09-12"),
    ("M", START, "FREQ=DAILY;INTERVAL=10;COUNT=5", "09-02 09-12 09-22 10-02 10-12"),
    (
        "M",
        START,
        "FREQ=WEEKLY;COUNT=10",
        "09-02 09-09 09-16 09-23 09-30 10-07 10-14 10-21 10-28 11-04",
    ),
    (
        "M",
        START,
        "FREQ=WEEKLY;INTERVAL=2;WKST=SU",
        "09-02 09-16 09-30 10-14 10-28 11-11 11-25 12-09",
    ),
    (
        "V",
        START,
        "FREQ=WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH",
        "09-02 09-04 09-09 09-11 09-16 09-18 09-23 09-25 09-30 10-02",
    ),
    (
        "V",
        START,
        # Printed as 00:00 UTC of the next day; here in the wall time of New York.
        "FREQ=WEEKLY;UNTIL=19971006T200000;WKST=SU;BYDAY=TU,TH",
        "09-02 09-04 09-09 09-11 09-16 09-18 09-23 09-25 09-30 10-02",
    ),
    (
        "V",
        "1997-09-01",
        "FREQ=WEEKLY;INTERVAL=2;UNTIL=19971223T190000;WKST=SU;BYDAY=MO,WE,FR",
        (
            "09-01 09-03 09-05 09-15 09-17 09-19 09-29 10-01 10-03 10-13 10-15 10-17 10-27 10-29 "
            "10-31 11-10 11-12 11-14 11-24 11-26 11-28 12-08 12-10 12-12 12-22"
        ),
    ),
    (
        "M",
        START,
        "FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH",
        "09-02 09-04 09-16 09-18 09-30 10-02 10-14 10-16",
    ),
    (
        "M",
        "1997-09-05",
        "FREQ=MONTHLY;COUNT=10;BYDAY=1FR",
        "09-05 10-03 11-07 12-05 1998-01-02 1998-02-06 1998-03-06 1998-04-03 1998-05-01 1998-06-05",
    ),
    (
        "M",
        "1997-08-05",
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO",
        "08-05 08-10 08-19 08-24",
    ),
    (
        "M",
        "1997-08-05",
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU",
        "08-05 08-17 08-19 08-31",
    ),
    (
        "M",
        START,
        "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=2,15",
        "09-02 09-15 10-02 10-15 11-02 11-15 12-02 12-15 1998-01-02 1998-01-15",
    ),
    (
        "M",
        "2007-01-15",
        "FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5",
        "2007-01-15 2007-01-30 2007-02-15 2007-03-15 2007-03-30",
    ),
]


def expanded(start: str, recurs: str, *, days: int = 400) -> tuple[Occurrence, ...]:
    first = date.fromisoformat(start).toordinal()
    rule = Rule(1, datetime.fromisoformat(f"{start}T09:00"), recurs, zone=NEW_YORK)
    return occurrences_of([rule], first, first + days, places=[(0, UTC)])


def whole(dates: str) -> list[date]:
    return [date.fromisoformat(each if len(each) > 5 else f"1997-{each}") for each in dates.split()]


@pytest.mark.parametrize(("sure", "start", "recurs", "dates"), PRINTED)
def test_a_printed_rule_gives_the_printed_dates(
    sure: str, start: str, recurs: str, dates: str
) -> None:
    expected = whole(dates)

    found = expanded(start, recurs)

    limited = "COUNT" in recurs or "UNTIL" in recurs
    assert [each.wall.date() for each in found[: len(expected)]] == expected
    assert (len(found) == len(expected)) is limited
    assert {each.wall.time().isoformat() for each in found} == {"09:00:00"}


def test_a_daily_rule_until_christmas_eve_keeps_its_wall_time_across_the_clock_change() -> None:
    # V: 113 times, at 9:00 summer time up to 25 October 1997 and at 9:00 winter time from then on.
    found = expanded(START, "FREQ=DAILY;UNTIL=19971223T190000")

    assert len(found) == 113
    assert found[-1].wall == datetime.fromisoformat("1997-12-23T09:00")
    offsets = [each.wall - _utc(each) for each in (found[0], found[53], found[54], found[-1])]
    assert offsets == [timedelta(hours=-4), timedelta(hours=-4), *[timedelta(hours=-5)] * 2]


@pytest.mark.parametrize(
    ("recurs", "times"),
    [
        (
            "FREQ=MINUTELY;INTERVAL=15;COUNT=6",
            ["09:00", "09:15", "09:30", "09:45", "10:00", "10:15"],
        ),
        ("FREQ=MINUTELY;INTERVAL=90;COUNT=4", ["09:00", "10:30", "12:00", "13:30"]),
    ],
)
def test_a_printed_rule_of_minutes_gives_the_printed_times(  # V
    recurs: str, times: Sequence[str]
) -> None:
    found = expanded(START, recurs)

    assert [f"{each.wall:%H:%M}" for each in found] == times


@pytest.mark.parametrize(
    ("wall", "utc", "hour"),
    [
        # RFC 5545, section 3.3.5 (V); the instants by the zone data of IANA (W).
        ("2026-03-29T02:30", "2026-03-29T01:30", "skipped"),
        ("2026-10-25T02:30", "2026-10-25T00:30", "repeated"),
    ],
)
def test_a_time_that_is_skipped_uses_the_offset_before_and_one_that_is_repeated_means_the_first(
    wall: str, utc: str, hour: str
) -> None:
    start = datetime.fromisoformat(wall)
    rule = Rule(1, start, zone=ZoneInfo("Europe/Paris"))
    day = start.toordinal()

    (found,) = occurrences_of([rule], day, day, places=[(0, UTC)])

    assert (_utc(found).isoformat(timespec="minutes"), found.hour) == (utc, hour)


def _utc(occurrence: Occurrence) -> datetime:
    return datetime.fromtimestamp(occurrence.instant, UTC).replace(tzinfo=None)
