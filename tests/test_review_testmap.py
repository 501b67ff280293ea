from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from app.domain.clock import Period, last_days
from app.domain.marks import SLOTS, Mark
from app.domain.reading import Standing
from app.review.record import record_of
from app.review.testmap import map_of_tests
from app.store.diary import Diary
from tests.households import NOW, new_diary, sample_of, tilde, written

ENDING = date(2026, 3, 12)  # a Thursday


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def test_counts_are_by_written_mark_and_weekday(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-09 07:00", "7.1", Mark.WAKING)
    written(diary, person, "2026-03-09 07:02", "7.3", Mark.WAKING)
    written(diary, person, "2026-03-12 12:00", "6.3", Mark.BEFORE_LUNCH)
    written(diary, person, "2026-03-12 12:10", "6.3")
    written(diary, person, "2026-03-12 15:10", "6.3", Mark.CASUAL)
    written(diary, person, "2026-03-12 22:10", "6.3", Mark.BEDTIME, standing=Standing.NOT_MINE)

    found = map_of_tests(record_of(diary, person), last_days(14, ENDING), now=NOW)

    assert (found.n, found.unmarked, found.others) == (5, 1, ((Mark.CASUAL, 1),))
    assert found.row(Mark.WAKING).counts == (2, 0, 0, 0, 0, 0, 0)
    assert found.row(Mark.BEFORE_LUNCH).counts == (0, 0, 0, 1, 0, 0, 0)
    assert found.row(Mark.BEDTIME).n == 0
    assert found.left_out == {"not_mine": 1}
    assert found.weekdays == (2,) * 7


def test_a_night_test_belongs_to_the_weekday_of_its_diary_day(diary: Diary) -> None:
    person = tilde(diary, day_start=4)
    written(diary, person, "2026-03-12 02:30", "6.3", Mark.NIGHT)

    found = map_of_tests(record_of(diary, person), last_days(14, ENDING), now=NOW)

    assert found.row(Mark.NIGHT).counts == (0, 0, 1, 0, 0, 0, 0)


def test_fewer_than_one_test_a_week_is_a_blind_spot(diary: Diary) -> None:
    person = tilde(diary)
    for ago in range(13):
        at = ENDING - timedelta(days=ago)
        written(diary, person, f"{at} 07:00", "7.1", Mark.WAKING)
        if ago:
            written(diary, person, f"{at} 02:30", "7.1", Mark.NIGHT)

    found = map_of_tests(record_of(diary, person), last_days(90, ENDING), now=NOW)

    assert not found.row(Mark.WAKING).is_blind  # 13 of 90 days is one a week
    assert found.row(Mark.NIGHT).is_blind
    assert found.blind_spots[-1] == "night: 12 in 90 days; lows there would not be seen"


def test_an_empty_map_is_said_to_be_empty(diary: Diary) -> None:
    found = map_of_tests(
        record_of(diary, tilde(diary)), Period(date(2020, 1, 1), date(2020, 1, 3)), now=NOW
    )

    assert found.n == 0
    assert all(row.is_blind and not row.never_on for row in found.rows)
    assert found.blind_spots == ("no reading has the mark of a slot: the map is empty",)


def test_the_invented_adults_nights_are_named_as_a_blind_spot(tmp_path: Path) -> None:
    # Household of the sample, 7 February to 7 May 2026; counts belong to its description.
    with sample_of(tmp_path, "Corwin") as (diary, person):
        period = Period(date(2026, 2, 7), date(2026, 5, 7))
        found = map_of_tests(record_of(diary, person), period, now=datetime.fromisoformat(
            "2026-05-08T12:00+00:00"
        ))  # fmt: skip

    counts = {row.slot: row.n for row in found.rows}
    assert (found.n, found.days_with_readings, found.unmarked) == (201, 89, 33)
    assert counts[Mark.WAKING] == 69
    assert [counts[each] for each in SLOTS if each.is_after_meal] == [13, 13, 20]
    assert "night: 3 in 90 days; lows there would not be seen" in found.blind_spots
    assert (
        f"bedtime: {counts[Mark.BEDTIME]} in 90 days, never on Fri; "
        "lows and highs on those days would not be seen"
    ) in found.blind_spots
