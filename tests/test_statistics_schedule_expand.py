"""Occurrences beside a slow reference that walks every quarter of an hour of two years."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from app.statistics.schedule.expand import checked_recurrence, occurrences_of
from app.statistics.schedule.rule import Rule

FIRST, LAST = date(2024, 6, 3).toordinal(), date(2026, 6, 2).toordinal()
# One without summer time, one in the south, one that moves by half an hour, one in the north.
ZONES = ("Asia/Tokyo", "America/Santiago", "Australia/Lord_Howe", "America/New_York")
HOME = [(0, ZoneInfo("Europe/Lisbon"))]

CASES: dict[str, tuple[Rule, Callable[[date, int], bool]]] = {
    "every day, in the night": (
        Rule(1, datetime.fromisoformat("2024-06-03T02:15"), "FREQ=DAILY"),
        lambda _d, _n: True,
    ),
    "every third day": (
        Rule(2, datetime.fromisoformat("2024-06-04T01:45"), "FREQ=DAILY;INTERVAL=3"),
        lambda _d, n: n >= 1 and (n - 1) % 3 == 0,
    ),
    "some weekdays": (
        Rule(3, datetime.fromisoformat("2024-06-03T23:30"), "FREQ=WEEKLY;BYDAY=SA,SU"),
        lambda d, _n: d.isoweekday() in (6, 7),
    ),
    "every second week": (
        Rule(4, datetime.fromisoformat("2024-06-05T00:30"), "FREQ=WEEKLY;INTERVAL=2;BYDAY=WE,SU"),
        lambda d, n: n >= 2 and (n // 7) % 2 == 0 and d.isoweekday() in (3, 7),
    ),
    "days of the month": (
        Rule(5, datetime.fromisoformat("2024-06-03T02:00"), "FREQ=MONTHLY;BYMONTHDAY=1,15"),
        lambda d, _n: d.day in (1, 15),
    ),
    "so many times": (
        Rule(6, datetime.fromisoformat("2024-06-03T07:00"), "FREQ=DAILY;COUNT=40"),
        lambda _d, n: n < 40,
    ),
    "until a date": (
        Rule(7, datetime.fromisoformat("2024-06-03T07:00"), "FREQ=DAILY;UNTIL=20250401T235959"),
        lambda d, _n: d <= date(2025, 4, 1),
    ),
    "single dates": (
        Rule(8, datetime.fromisoformat("2024-06-03T02:30"), dates=(FIRST + 300, FIRST + 7)),
        lambda _d, n: n in (7, 300),
    ),
    "in force for a while": (
        Rule(
            9,
            datetime.fromisoformat("2024-06-03T12:00"),
            "FREQ=DAILY",
            first_day=FIRST + 9,
            last_day=LAST - 9,
        ),
        lambda _d, n: 9 <= n <= LAST - 9 - FIRST,
    ),
    "school days": (
        Rule(
            10,
            datetime.fromisoformat("2024-06-03T10:15"),
            "FREQ=DAILY",
            speaks_on=lambda day: day % 7 < 5,
        ),
        lambda d, _n: d.toordinal() % 7 < 5,
    ),
}


def walked(zone: ZoneInfo) -> dict[datetime, int]:
    """The first instant of every wall time at a quarter of an hour, by walking through time."""
    at = int(datetime(2024, 6, 1, tzinfo=UTC).timestamp())
    end = int(datetime(2026, 6, 5, tzinfo=UTC).timestamp())
    found: dict[datetime, int] = {}
    while at < end:
        wall = datetime.fromtimestamp(at, zone).replace(tzinfo=None)
        found.setdefault(wall, at)
        at += 900
    return found


@pytest.mark.parametrize("name", ZONES)
def test_every_kind_of_rule_is_that_of_a_slow_reference_over_two_years(name: str) -> None:
    zone = ZoneInfo(name)
    instants = walked(zone)
    skipped = repeated = 0
    for rule, is_on in CASES.values():
        expected = []
        for day in range(FIRST, LAST + 1):
            on = date.fromordinal(day)
            if is_on(on, day - FIRST):
                wall = datetime.combine(on, rule.start.time())
                before = instants.get(wall)
                # Nobody's clock shows a time in the gap: count on from the last time before it.
                gone = timedelta(0)
                while before is None:
                    gone += timedelta(minutes=15)
                    before = instants.get(wall - gone)
                expected.append((wall, before + int(gone.total_seconds()), bool(gone)))

        found = occurrences_of([rule], FIRST, LAST, places=[(0, zone)])

        assert [(o.wall, o.instant, o.hour == "skipped") for o in found] == sorted(
            expected, key=lambda each: each[1]
        )
        skipped += sum(each.hour == "skipped" for each in found)
        repeated += sum(each.hour == "repeated" for each in found)
    assert (skipped + repeated > 0) is (name != "Asia/Tokyo")


def test_looking_into_an_old_plan_gives_what_the_whole_of_it_gives() -> None:
    for rule, _ in CASES.values():
        whole = occurrences_of([rule], FIRST, LAST, places=HOME)
        for first in (FIRST, FIRST + 1, FIRST + 13, FIRST + 200, LAST - 3):
            part = occurrences_of([rule], first, first + 3, places=HOME)
            inside = [o for o in whole if first <= o.wall.toordinal() <= first + 3]
            assert [o.wall for o in part] == [o.wall for o in inside]


def test_a_rule_of_hours_asks_once_where_the_clocks_skip_one() -> None:
    day = date(2026, 3, 29).toordinal()
    rule = Rule(
        1,
        datetime.fromisoformat("2026-03-29T00:30"),
        "FREQ=HOURLY;COUNT=6",
        zone=ZoneInfo("Europe/Paris"),
    )

    found = occurrences_of([rule], day, day, places=HOME)

    assert [f"{o.wall:%H:%M}" for o in found] == ["00:30", "01:30", "03:30", "04:30", "05:30"]
    assert len({o.instant for o in found}) == len(found)


def test_a_usual_time_gives_the_time_of_day_from_its_day_on() -> None:
    minutes = ((0, 12 * 60), (FIRST + 2, 13 * 60 + 30))
    rule = Rule(1, datetime.fromisoformat("2024-06-03T09:00"), "FREQ=DAILY", minutes=minutes)

    found = occurrences_of([rule], FIRST, FIRST + 3, places=HOME)

    assert [f"{o.wall:%d %H:%M}" for o in found] == ["03 12:00", "04 12:00", "05 13:30", "06 13:30"]


@pytest.mark.parametrize(("minute", "days"), [(25 * 60, [4, 5, 6]), (-30, [3, 4, 5])])
def test_a_usual_time_past_midnight_lies_on_the_day_beside_its_date(
    minute: int, days: list[int]
) -> None:
    rule = Rule(
        1,
        datetime.fromisoformat("2024-06-03T09:00"),
        "FREQ=DAILY",
        minutes=((0, minute),),
        last_day=FIRST + 3,
    )

    found = occurrences_of([rule], FIRST, FIRST + 3, places=HOME)

    assert [o.wall.day for o in found] == days


def test_a_moved_test_is_on_its_new_day_alone_and_keeps_its_planned_time() -> None:
    planned, to = (
        datetime.fromisoformat("2024-06-05T09:00"),
        datetime.fromisoformat("2024-06-07T18:00"),
    )
    rule = Rule(
        1, datetime.fromisoformat("2024-06-03T09:00"), "FREQ=WEEKLY;BYDAY=WE", moved={planned: to}
    )

    assert occurrences_of([rule], planned.toordinal(), planned.toordinal(), places=HOME) == ()
    (found,) = occurrences_of([rule], to.toordinal(), to.toordinal(), places=HOME)
    assert (found.planned, found.wall) == (planned, to)


def test_without_a_zone_the_clocks_of_the_journey_count() -> None:
    lisbon, chicago = ZoneInfo("Europe/Lisbon"), ZoneInfo("America/Chicago")
    left = int(datetime(2026, 6, 27, 12, 0, tzinfo=UTC).timestamp())
    back = int(datetime(2026, 7, 4, 12, 0, tzinfo=UTC).timestamp())
    places = [(0, chicago), (left, lisbon), (back, chicago)]
    first, last = date(2026, 6, 26).toordinal(), date(2026, 7, 5).toordinal()
    floating = Rule(1, datetime.fromisoformat("2026-06-20T07:00"), "FREQ=DAILY")
    home = Rule(2, datetime.fromisoformat("2026-06-20T07:00"), "FREQ=DAILY", zone=chicago)

    there = occurrences_of([floating], first, last, places=places)
    at_home = occurrences_of([home], first, last, places=places)

    hours = {o.wall.day: datetime.fromtimestamp(o.instant, UTC).hour for o in there}
    # 7:00 in Lisbon is 6:00 UTC; on 27 June the flight had not left, on 4 July it was not back.
    assert (hours[26], hours[27], hours[28], hours[4], hours[5]) == (12, 12, 6, 6, 12)
    assert {datetime.fromtimestamp(o.instant, UTC).hour for o in at_home} == {12}


def test_a_time_that_the_flight_skips_is_asked_once_by_the_clocks_that_were_left() -> None:
    lisbon, chicago = ZoneInfo("Europe/Lisbon"), ZoneInfo("America/Chicago")
    left = int(datetime(2026, 6, 27, 12, 0, tzinfo=UTC).timestamp())  # 7:00 becomes 13:00
    day = date(2026, 6, 27).toordinal()
    rule = Rule(1, datetime.fromisoformat("2026-06-27T09:30"), "FREQ=DAILY")

    (found,) = occurrences_of([rule], day, day, places=[(0, chicago), (left, lisbon)])

    assert (found.instant - left, found.hour) == (9000, "skipped")


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("RRULE:FREQ=DAILY", "FREQ=DAILY"),
        ("freq=weekly;byday=mo,we", "FREQ=WEEKLY;BYDAY=MO,WE"),
        ("FREQ=DAILY;UNTIL=20260401", "FREQ=DAILY;UNTIL=20260401T235959"),
    ],
)
def test_a_recurrence_is_kept_in_one_form(typed: str, kept: str) -> None:
    assert checked_recurrence(typed) == kept


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "every day",
        "FREQ=OFTEN",
        "INTERVAL=2",
        "FREQ=DAILY;UNTIL=20260401T000000Z",
        "FREQ=DAILY;COUNT=3;UNTIL=20260401",
        "FREQ=SECONDLY",
        "FREQ=MINUTELY;INTERVAL=5",
        "FREQ=HOURLY;BYMINUTE=1,2,3",
        "FREQ=DAILY;BYDAY=XX",
    ],
)
def test_what_is_no_recurrence_or_would_ask_too_often_is_refused(typed: str) -> None:
    with pytest.raises(ValueError, match=r"[a-z]"):
        checked_recurrence(typed)
