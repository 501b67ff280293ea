"""Periods of whole diary days: calendar checks worked by hand and by the zone database."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from app.domain.clock import Period, diary_day, last_days, moment_at, moment_now
from app.review.periods import USUAL_DAYS
from app.statistics.moments import mean
from app.statistics.slots import evened_average

BERLIN = ZoneInfo("Europe/Berlin")


# 7, 14, 30, 60 and 90 days are common practice, no source; the first dates were worked by hand.
@pytest.mark.parametrize(
    ("days", "first"),
    [
        (7, date(2024, 3, 9)),
        (14, date(2024, 3, 2)),
        (30, date(2024, 2, 15)),  # over the end of a leap February
        (60, date(2024, 1, 16)),
        (90, date(2023, 12, 17)),
    ],
)
def test_a_window_is_whole_dates_and_its_last_one_is_included(days: int, first: date) -> None:
    last = date(2024, 3, 15)

    found = last_days(days, last)

    assert found == Period(first, last)
    assert found.days == days
    assert days in USUAL_DAYS


def test_midnight_belongs_to_the_new_day() -> None:
    week = last_days(7, date(2024, 3, 15))
    walls = [
        datetime(2024, 3, 8, 23, 59),  # noqa: DTZ001  (the wall's own date is what counts)
        datetime(2024, 3, 9, 0, 0),  # noqa: DTZ001
        datetime(2024, 3, 15, 23, 59),  # noqa: DTZ001
        datetime(2024, 3, 16, 0, 0),  # noqa: DTZ001
    ]
    days = [diary_day(moment_at(wall, "UTC", 0), 0) for wall in walls]

    inside = [week.first.toordinal() <= day <= week.last.toordinal() for day in days]

    assert inside == [False, True, True, False]


@pytest.mark.parametrize(
    ("day", "hours"),
    [(date(2024, 3, 31), 23), (date(2024, 10, 27), 25), (date(2024, 10, 28), 24)],
)
def test_a_day_of_23_or_25_hours_is_one_whole_day(day: date, hours: int) -> None:
    # Europe/Berlin by the IANA zone database: the clocks change on these two days.
    start = datetime(day.year, day.month, day.day, tzinfo=BERLIN).astimezone(UTC)
    instants = [start + timedelta(hours=hour) for hour in range(-1, hours + 1)]

    days = [diary_day(moment_now(instant, BERLIN.key), 0) for instant in instants]

    today = day.toordinal()
    assert days == [today - 1, *[today] * hours, today + 1]


def test_the_evened_average_gives_each_slot_the_same_weight() -> None:
    # A rule of this diary, worked by hand: ten waking at 100 and two bedtime at 200.
    values, marks = [100] * 10 + [200] * 2, [0] * 10 + [6] * 2

    found = evened_average(values, marks, no_mark=14)

    assert mean(values) == pytest.approx(116.666667, abs=1e-6)
    assert (found.value, found.slots, found.smallest_n) == (150, (0, 6), 2)
