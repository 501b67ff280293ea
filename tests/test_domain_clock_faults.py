from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.clock_faults import Habits, suspect_stretches
from app.domain.clock_shifts import Stay
from app.domain.factory_dates import at_factory_date
from app.domain.memory_order import places_in_memory
from app.domain.stamped import Stamped, Stretch
from app.domain.usual_hours import UsualHours
from app.domain.zone_changes import zone_changes
from tests.memories import COPIED, ZONE, a_wall, days_of, memory, record

MARKED = (("07:05", "waking"), ("12:10", "before_lunch"), ("21:00", "bedtime"))
UNMARKED = tuple((time, "none") for time, _ in MARKED)


def found_in(records: list[Stamped], *stays: Stay, first_use: date | None = None) -> list[Stretch]:
    seen = [(each.mark, each.minute) for each in records if each.minute is not None]
    habits = Habits(ZONE, UsualHours(seen), stays, first_use)
    return list(suspect_stretches(records, habits))


def told(found: list[Stretch]) -> list[tuple[str, int, int, int | None]]:
    return [(each.kind, each.first, each.last, each.shift_s) for each in found]


def moved(
    walls: list[tuple[str, str]], first: int, last: int, minutes: int
) -> list[tuple[str, str]]:
    return [
        (
            f"{datetime.fromisoformat(wall) + timedelta(minutes=minutes):%Y-%m-%dT%H:%M}"
            if first <= place <= last
            else wall,
            mark,
        )
        for place, (wall, mark) in enumerate(walls)
    ]


def test_a_clock_that_is_right_gives_no_proposal() -> None:
    assert found_in(memory(days_of("2026-02-01", 120, MARKED))) == []
    assert found_in(memory(days_of("2026-02-01", 120, UNMARKED))) == []


def test_an_empty_memory_gives_no_proposal() -> None:
    assert found_in([]) == []


def test_a_clock_that_began_anew_is_found_from_the_step_back_to_the_step_forward() -> None:
    restarted = [f"2024-01-{day:02}T03:00" for day in range(1, 6)]
    records = memory(["2025-11-20T07:05", "2025-11-21T07:05", *restarted, "2025-11-28T07:05"])

    assert told(found_in(records)) == [("factory", 2, 6, None)]


def test_a_memory_far_older_than_its_copy_that_begins_a_year_is_a_new_beginning() -> None:
    records = memory(["2020-01-01T00:20", "2020-01-05T22:10", "2020-01-10T13:05"])

    assert told(found_in(records)) == [("factory", 0, 2, None)]


def test_old_readings_of_another_season_are_no_new_beginning() -> None:
    assert found_in(memory(["2020-06-01T00:20", "2020-06-05T22:10"])) == []


def test_stamps_long_before_the_first_use_are_no_times() -> None:
    records = memory(["2025-03-03T07:05", "2025-03-04T07:05", "2026-11-01T07:05"])

    assert told(found_in(records, first_use=date(2026, 11, 1))) == [("factory", 0, 1, None)]


def test_half_a_day_ahead_is_found_and_its_direction_follows_from_the_neighbours() -> None:
    walls = moved(days_of("2026-02-01", 40, MARKED), 30, 44, 720)

    assert told(found_in(memory(walls))) == [("half_day", 30, 44, -43200)]


def test_half_a_day_behind_is_found_too() -> None:
    walls = moved(days_of("2026-02-01", 40, MARKED), 31, 44, -720)

    assert told(found_in(memory(walls))) == [("half_day", 31, 44, 43200)]


def test_half_a_day_that_could_go_either_way_proposes_no_shift() -> None:
    walls = days_of("2026-02-01", 20, MARKED)
    pause = [("2026-03-01T19:05", "waking"), ("2026-03-02T00:10", "before_lunch")]
    pause += [("2026-03-02T19:05", "waking"), ("2026-03-03T00:10", "before_lunch")]

    found = found_in(memory([*walls, *pause, *days_of("2026-03-10", 20, MARKED)]))

    assert told(found) == [("half_day", 60, 63, None)]


def test_an_hour_behind_is_found_from_the_day_summer_time_began() -> None:
    walls = moved(days_of("2026-03-01", 60, MARKED), 28 * 3, 33 * 3 - 1, -60)

    assert told(found_in(memory(walls))) == [("summer_time", 84, 98, 3600)]


def test_an_hour_ahead_is_found_from_the_day_summer_time_ended() -> None:
    walls = moved(days_of("2026-10-01", 50, MARKED), 24 * 3, 30 * 3 - 1, 60)

    assert told(found_in(memory(walls))) == [("summer_time", 72, 89, -3600)]


def test_a_new_habit_an_hour_later_in_july_is_no_fault_of_the_clock() -> None:
    later = tuple((f"{int(time[:2]) + 1:02}{time[2:]}", mark) for time, mark in MARKED)
    walls = [*days_of("2026-04-01", 90, MARKED), *days_of("2026-07-01", 60, later)]

    assert found_in(memory(walls)) == []


def test_times_that_had_not_come_when_the_memory_was_copied_are_found() -> None:
    records = memory(["2026-11-20T07:05", "2026-11-21T07:05", "2026-12-24T07:05"])

    assert told(found_in(records)) == [("future", 2, 2, None)]


def test_an_undated_record_of_a_time_to_come_is_in_the_future_too() -> None:
    late = record(3, "2027-12-24T07:05", dated=False)

    found = found_in([*memory(["2026-11-20T07:05", "2026-11-21T07:05"]), late])

    assert told(found) == [("future", 2, 2, None)]


def test_a_step_back_that_nothing_explains_is_told_until_the_stamps_caught_up() -> None:
    walls = ["2026-05-01T07:00", "2026-05-03T07:00", "2026-05-02T09:00", "2026-05-04T07:00"]

    assert told(found_in(memory(walls))) == [("jump", 2, 2, None)]


def test_two_tests_in_one_minute_are_no_step_back() -> None:
    assert found_in(memory(["2026-05-01T07:01", "2026-05-01T07:01", "2026-05-01T07:00"])) == []


def test_a_stay_in_another_zone_asks_for_its_wall_times() -> None:
    # Bangladesh is five hours ahead of Lisbon's summer.
    home = memory(moved(days_of("2026-04-01", 60, MARKED), 60, 74, -300))
    stay = Stay(home[60].instant or 0, (home[74].instant or 0) + 1, "Asia/Dhaka")

    assert told(found_in(home, stay)) == [("home_time", 60, 74, 5 * 3600)]


def test_a_meter_that_was_set_to_the_time_of_the_place_keeps_its_wall_times() -> None:
    there = memory(days_of("2026-04-01", 60, MARKED))
    stay = Stay(there[60].instant or 0, (there[74].instant or 0) + 1, "Asia/Dhaka")

    assert told(found_in(there, stay)) == [("local_time", 60, 74, 0)]
    kept = replace(stay, meters_kept=ZONE)
    assert told(found_in(there, kept)) == [("home_time", 60, 74, 5 * 3600)]


def test_the_hours_of_a_journey_without_a_zone_are_found() -> None:
    walls = moved(days_of("2026-04-01", 60, MARKED), 60, 74, -300)
    records = memory(walls)
    stay = Stay((records[57].instant or 0), (records[77].instant or 0), None)

    assert told(found_in(records, stay)) == [("home_time", 60, 74, 5 * 3600)]


def test_records_that_were_repaired_or_timed_by_hand_are_left_alone() -> None:
    walls = moved(days_of("2026-02-01", 40, MARKED), 30, 44, 720)
    records = [
        replace(each, free=not 30 <= place <= 44) for place, each in enumerate(memory(walls))
    ]

    assert "half_day" not in {each.kind for each in found_in(records)}


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10_000))
def test_the_order_in_which_records_are_given_never_matters(seed: int) -> None:
    walls = moved(days_of("2026-02-01", 40, MARKED), 30, 44, 720)
    records = memory([*walls, "2024-01-02T05:00", "2024-01-03T05:00", "2026-04-01T07:05"])
    mixed = list(records)
    random.Random(seed).shuffle(mixed)

    assert found_in(mixed) == found_in(records)
    assert len(found_in(records)) == 2


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.integers(0, 3_000_000), max_size=30),
    st.lists(st.sampled_from([mark for _, mark in MARKED]), min_size=30, max_size=30),
)
def test_no_record_is_ever_in_two_stretches(minutes: list[int], marks: list[str]) -> None:
    begin = a_wall("2021-01-03")
    walls = [(begin + timedelta(minutes=each)).isoformat(timespec="minutes") for each in minutes]
    records = [
        replace(record(place, wall, mark), instant=COPIED - 10_000_000 + 7 * place)
        for place, (wall, mark) in enumerate(zip(walls, marks, strict=False))
    ]

    found = found_in(records)

    places = [place for each in found for place in range(each.first, each.last + 1)]
    assert len(places) == len(set(places))
    assert all(0 <= place < len(records) for place in places)


def test_a_factory_run_ends_where_the_stamps_reach_what_they_had_reached() -> None:
    walls = [
        a_wall("2026-05-01"),
        a_wall("2026-01-03"),
        a_wall("2026-02-01"),
        a_wall("2026-05-02"),
    ]

    assert at_factory_date(walls) == [False, True, True, False]


def test_a_step_back_into_another_week_of_the_year_is_no_new_beginning() -> None:
    walls = [a_wall("2026-09-01"), a_wall("2026-02-03"), a_wall("2026-09-02")]

    assert at_factory_date(walls) == [False, False, False]


def test_a_memory_that_begins_with_the_restart_is_known_by_the_leap_after_it() -> None:
    walls = [a_wall("2024-01-02"), a_wall("2024-01-09"), a_wall("2026-05-02")]

    assert at_factory_date(walls) == [True, True, False]


@given(
    st.lists(st.one_of(st.none(), st.integers(1, 40)), max_size=30),
    st.booleans(),
)
def test_numbers_once_given_stay_and_the_order_never_falls(
    given_: list[int | None], older: bool
) -> None:
    known_numbers = sorted({each for each in given_ if each is not None})
    rest = iter(known_numbers)
    seen: set[int] = set()
    known: list[int | None] = []
    for each in given_:
        known.append(next(rest, None) if each is not None and each not in seen else None)
        seen.add(each or 0)
    first, last = (1, 40) if known_numbers else (None, None)

    found = places_in_memory(known, first=first, last=last, older=older)

    assert len(found) == len(known)
    assert found == sorted(found)
    assert all(told in (None, got) for told, got in zip(known, found, strict=True))


def test_held_rows_that_come_later_get_the_numbers_that_were_kept_for_them() -> None:
    assert places_in_memory([7, None, None, 10], first=1, last=12, older=False) == [7, 8, 9, 10]
    assert places_in_memory([7, None, None, 9], first=1, last=12, older=False) == [7, 8, 8, 9]
    assert places_in_memory([7, None, None], first=1, last=12, older=False) == [7, 7, 7]


def test_the_clocks_of_a_zone_change_twice_in_a_year_where_they_do() -> None:
    start, end = 1767225600, 1798761600  # the year 2026

    assert [each.minutes for each in zone_changes("America/Chicago", start, end)] == [60, -60]
    assert zone_changes("Asia/Kolkata", start, end) == ()
    (spring, _) = zone_changes("Europe/Lisbon", start, end)
    assert a_wall("1970-01-01") + timedelta(seconds=spring.instant) == a_wall("2026-03-29T01:00")
