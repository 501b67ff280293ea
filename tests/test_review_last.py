from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from app.domain.glucose import Unit
from app.domain.levels import Level
from app.domain.marks import Mark
from app.domain.reading import Doubt, Standing
from app.review.last import Last, age_words, last_of
from app.review.record import record_of
from app.store import schema
from app.store.people import care_texts
from tests.households import NOW, new_diary, tilde, written


def last_after(
    folder: Path, *readings: tuple[str, str, dict[str, object]], day_start: int = 0
) -> Last | None:
    with new_diary(folder) as diary:
        person = tilde(diary, day_start=day_start)
        for at, value, more in readings:
            written(diary, person, at, value, **more)  # type: ignore[arg-type]
        return last_of(record_of(diary, person), NOW)


def test_nothing_written_has_no_last_reading(tmp_path: Path) -> None:
    assert last_after(tmp_path) is None


def test_last_is_by_instant_and_not_by_the_order_of_writing(tmp_path: Path) -> None:
    last = last_after(
        tmp_path,
        ("2026-03-12T20:57", "2.4", {"mark": Mark.BEFORE_EVENING_MEAL, "hands": "not"}),
        ("2026-03-12T08:00", "6.0", {}),
    )

    assert last is not None
    assert (last.glucose.value, last.level, last.mark) == (
        "2.4",
        Level.VERY_LOW,
        Mark.BEFORE_EVENING_MEAL,
    )
    assert last.doubt is Doubt.HANDS
    assert last.wall == datetime(2026, 3, 12, 20, 57)  # noqa: DTZ001  a wall time
    assert last.age == "33 min ago"


def test_of_two_at_one_instant_the_later_row_is_last(tmp_path: Path) -> None:
    last = last_after(tmp_path, ("2026-03-12T20:57", "5.1", {}), ("2026-03-12T20:57", "4.9", {}))

    assert last is not None
    assert last.glucose.value == "4.9"


def test_what_is_not_mine_or_far_in_the_future_is_not_the_last(tmp_path: Path) -> None:
    last = last_after(
        tmp_path,
        ("2026-03-12T20:00", "5.1", {"standing": Standing.SET_ASIDE}),
        ("2026-03-12T21:00", "6.6", {"standing": Standing.NOT_MINE}),
        ("2027-03-12T20:00", "7.7", {}),
    )

    assert last is not None
    assert (last.glucose.value, last.standing) == ("5.1", Standing.SET_ASIDE)


def test_clock_a_little_ahead_is_just_now(tmp_path: Path) -> None:
    last = last_after(tmp_path, ("2026-03-12T21:36", "5.1", {}))

    assert last is not None
    assert (last.age_s, last.age) == (0, "just now")


@pytest.mark.parametrize("at", ["2026-03-12T01:30", "2026-03-11T23:30", "2026-03-12T04:00"])
def test_wall_time_is_that_of_the_clock_whatever_the_start_of_the_day(
    tmp_path: Path, at: str
) -> None:
    last = last_after(tmp_path, (at, "5.1", {}), day_start=4)

    assert last is not None
    assert last.wall.isoformat(timespec="minutes") == at


@pytest.mark.parametrize("value", ["LO", "HI", "<20", "112"])
def test_value_is_given_back_as_it_was_entered(tmp_path: Path, value: str) -> None:
    unit = Unit.MG_DL

    last = last_after(tmp_path, ("2026-03-12T20:00", value, {"unit": unit}))

    assert last is not None
    assert last.glucose.shown(unit) == value


def test_age_in_words() -> None:
    ages = {
        -90: "just now",
        0: "just now",
        59: "just now",
        60: "1 min ago",
        59 * 60: "59 min ago",
        3600: "1 h ago",
        100 * 60: "1 h 40 min ago",
        6 * 3600 + 60: "6 h ago",
        47 * 3600: "47 h ago",
        48 * 3600: "2 days ago",
        400 * 86400: "400 days ago",
    }

    assert {seconds: age_words(seconds) for seconds in ages} == ages


def test_care_texts_are_the_newest_in_force(tmp_path: Path) -> None:
    today = NOW.date().toordinal()
    rows = [
        ("emergency number", "555-0100", None),
        ("emergency number", "555-0101", today - 3),
        ("emergency number", "555-0199", today + 3),
        ("team_phone", "555-0142", None),
        ("low plan", "  ", None),
    ]
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        assert care_texts(diary, person).emergency_number is None
        with diary.change("care_texts", {}, now=NOW, person=person) as change:
            for kind, text, day in rows:
                change.add(
                    schema.care_text, person_id=person.id, kind=kind, text=text, from_day=day
                )

        found = care_texts(diary, person, day=today)

    assert found.emergency_number == "555-0101"
    assert found.team_phone == "555-0142"
    assert found.low_plan is None


def test_last_follows_the_clock(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        written(diary, person, "2026-03-12T21:00", "5.1")
        record = record_of(diary, person)

        ages = [last_of(record, NOW + timedelta(minutes=wait)) for wait in (0, 10)]

    assert [last.age for last in ages if last] == ["30 min ago", "40 min ago"]
