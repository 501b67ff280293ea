from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.clock import (
    Moment,
    Period,
    diary_day,
    last_days,
    moment_at,
    moment_now,
    offsets_of,
    zone_named,
)
from app.domain.errors import Refused

ZONES = [
    "UTC", "Europe/Berlin", "Europe/Lisbon", "Europe/London", "Europe/Dublin", "America/Chicago",
    "America/St_Johns", "America/Sao_Paulo", "Australia/Lord_Howe", "Australia/Adelaide",
    "Asia/Kolkata", "Asia/Kathmandu", "Asia/Tehran", "Pacific/Apia", "Pacific/Kiritimati",
    "Pacific/Chatham", "Africa/Casablanca", "Africa/Cairo", "America/Nuuk", "Antarctica/Troll",
]  # fmt: skip
walls = st.datetimes(datetime(1990, 1, 1), datetime(2037, 12, 31)).map(  # noqa: DTZ001  # wall times
    lambda wall: wall.replace(second=0, microsecond=0)
)


def wall_time(text: str) -> datetime:
    return datetime.fromisoformat(text)


# Summer time of 2024 and 2025 as the IANA tz database has it (europe, northamerica, australasia).
@pytest.mark.parametrize(
    ("zone", "wall", "offsets"),
    [
        ("Europe/Berlin", "2024-03-31T01:59", (60,)),
        ("Europe/Berlin", "2024-03-31T02:00", ()),
        ("Europe/Berlin", "2024-03-31T02:59", ()),
        ("Europe/Berlin", "2024-03-31T03:00", (120,)),
        ("Europe/Berlin", "2024-10-27T01:59", (120,)),
        ("Europe/Berlin", "2024-10-27T02:00", (120, 60)),
        ("Europe/Berlin", "2024-10-27T02:59", (120, 60)),
        ("Europe/Berlin", "2024-10-27T03:00", (60,)),
        ("Europe/Lisbon", "2024-03-31T01:30", ()),
        ("Europe/Lisbon", "2024-10-27T01:30", (60, 0)),
        ("America/Chicago", "2025-03-09T02:30", ()),
        ("America/Chicago", "2025-11-02T01:30", (-300, -360)),
        ("Australia/Lord_Howe", "2025-10-05T02:15", ()),
        ("Australia/Lord_Howe", "2025-10-05T02:30", (660,)),
        ("Australia/Lord_Howe", "2025-04-06T01:45", (660, 630)),
        ("Asia/Kathmandu", "2025-06-01T12:00", (345,)),
        ("Pacific/Apia", "2011-12-30T12:00", ()),  # the day that Samoa skipped
    ],
)
def test_offsets_in_gaps_and_overlaps(zone: str, wall: str, offsets: tuple[int, ...]) -> None:
    assert offsets_of(wall_time(wall), zone) == offsets


@given(walls, st.sampled_from(ZONES))
@settings(max_examples=300)
def test_offsets_are_those_under_which_the_wall_time_comes_back(wall: datetime, zone: str) -> None:
    place = ZoneInfo(zone)
    around = {
        (wall + timedelta(days=days)).replace(tzinfo=place).utcoffset() for days in (-2, 0, 2)
    }
    possible = {
        int(offset.total_seconds() // 60)
        for offset in around
        if offset is not None
        and (wall - offset).replace(tzinfo=UTC).astimezone(place).replace(tzinfo=None) == wall
    }

    assert possible <= set(offsets_of(wall, zone))
    for offset in offsets_of(wall, zone):
        back = datetime.fromtimestamp(moment_at(wall, zone, offset).instant, place)
        assert back.replace(tzinfo=None) == wall


@given(st.integers(631152000, 2145916800), st.sampled_from(ZONES))
@settings(max_examples=300)
def test_now_comes_back_to_the_same_minute(instant: int, zone: str) -> None:
    now = datetime.fromtimestamp(instant, UTC)

    moment = moment_now(now, zone)

    assert moment.instant == instant - instant % 60
    assert moment.offset_min in offsets_of(moment.local, zone)


def test_the_repeated_hour_gives_moments_an_hour_apart_in_order() -> None:
    wall = wall_time("2024-10-27T02:30")

    first, second = (moment_at(wall, "Europe/Berlin", offset) for offset in (120, 60))

    assert second.instant - first.instant == 3600
    assert first.wall == second.wall
    assert first != second


def test_moment_knows_its_local_day_and_minute() -> None:
    moment = moment_at(wall_time("2026-03-12T06:50"), "Europe/Berlin", 60)

    assert moment.wall == "2026-03-12T06:50"
    assert moment.day == date(2026, 3, 12).toordinal()
    assert moment.minute == 410


def test_seconds_are_kept_where_they_were_given() -> None:
    assert moment_at(wall_time("2026-03-12T06:50:30"), "UTC", 0).wall == "2026-03-12T06:50:30"


@pytest.mark.parametrize("wall", ["1969-12-31T23:59", "2200-01-01T00:01", "9999-12-31T23:59"])
def test_time_outside_the_two_centuries_is_refused(wall: str) -> None:
    with pytest.raises(Refused, match="year"):
        moment_at(wall_time(wall), "UTC", 0)


@pytest.mark.parametrize(
    "zone", ["", "Nowhere/Town", "../etc/passwd", "/etc/localtime", "Europe", "x\0"]
)
def test_unknown_zone_is_refused_in_a_sentence(zone: str) -> None:
    with pytest.raises(Refused, match="Region/City"):
        zone_named(zone)


@pytest.mark.parametrize(
    ("wall", "start", "day"),
    [
        ("2026-03-12T00:00", 0, 12),
        ("2026-03-12T23:59", 0, 12),
        ("2026-03-12T03:59", 4, 11),
        ("2026-03-12T04:00", 4, 12),
        ("2026-03-12T05:59", 6, 11),
        ("2026-03-01T00:30", 4, -1),
    ],
)
def test_diary_day_starts_at_the_hour_chosen(wall: str, start: int, day: int) -> None:
    moment = moment_at(wall_time(wall), "UTC", 0)

    expected = date(2026, 2, 28) if day < 0 else date(2026, 3, day)
    assert diary_day(moment, start) == expected.toordinal()


@given(walls, st.integers(0, 6))
def test_diary_day_is_the_date_or_the_one_before(wall: datetime, start: int) -> None:
    moment = Moment(0, wall.isoformat(timespec="minutes"), "UTC", 0)

    assert diary_day(moment, start) == (wall - timedelta(hours=start)).toordinal()


@given(st.integers(1, 4000), st.dates(date(1990, 1, 1), date(2100, 1, 1)))
def test_last_days_are_whole_days_with_the_last_one(days: int, ending: date) -> None:
    period = last_days(days, ending)

    assert period.last == ending
    assert period.days == days


def test_last_fourteen_days_over_a_leap_day() -> None:
    assert last_days(14, date(2024, 3, 10)).first == date(2024, 2, 26)


def test_period_of_no_day_or_upside_down_is_refused() -> None:
    with pytest.raises(Refused):
        last_days(0, date(2024, 3, 10))
    with pytest.raises(Refused):
        Period(date(2024, 3, 11), date(2024, 3, 10))
