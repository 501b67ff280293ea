from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.review.night_stories import NightsFound, nights_of
from app.review.night_words import night_words, nights_sentences
from app.review.one_night import Night, Told
from app.review.record import record_of
from app.store.diary import Diary
from app.work.people import add_person
from app.work.safety import set_low_line
from tests.households import NOW, corwin, new_diary, sample_of, tilde, written
from tests.test_review_pairs import noted

MARCH = Period(date(2026, 3, 1), date(2026, 3, 12))


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def found_in(diary: Diary, person: Person) -> NightsFound:
    return nights_of(diary, record_of(diary, person), MARCH, now=NOW)


def one_night(diary: Diary, person: Person, bedtime: str, night: str, waking: str) -> Night:
    for at, value, mark in (
        ("2026-03-03 21:30", bedtime, Mark.BEDTIME),
        ("2026-03-04 02:40", night, Mark.NIGHT),
        ("2026-03-04 07:05", waking, Mark.WAKING),
    ):
        if value:
            written(diary, person, at, value, mark)
    (found,) = found_in(diary, person).nights
    return found


@pytest.mark.parametrize(
    ("values", "told"),
    [
        (("8.0", "", "9.9"), Told.NO_NIGHT),
        (("8.0", "6.0", ""), Told.NO_WAKING),
        (("8.0", "6.0", "7.1"), Told.RISE),  # 1.1 exactly
        (("8.0", "6.0", "7.0"), Told.NO_RISE),
        (("8.0", "3.8", "7.0"), Told.LOW),
        (("8.0", "3.8", "12.0"), Told.LOW_THEN_HIGH),
        (("8.0", "LO", "12.0"), Told.LOW_THEN_HIGH),
        (("8.0", "6.0", "HI"), Told.OFF_SCALE),
        (("", "6.0", "9.0"), Told.RISE),
    ],
)
def test_what_a_night_tells(diary: Diary, values: tuple[str, str, str], told: Told) -> None:
    assert one_night(diary, tilde(diary), *values).told is told


def test_a_night_that_was_not_tested_says_nothing_of_a_rise(diary: Diary) -> None:
    night = one_night(diary, tilde(diary), "8.0", "", "12.0")

    assert night.change == pytest.approx(4.0)
    assert night.rise is None
    assert night_words(night, Unit.MMOL_L) == "8.0 → – → 12.0 mmol/L; +4.0 from bedtime to waking"


def test_a_night_is_low_by_the_persons_own_line(diary: Diary) -> None:
    person = tilde(diary)
    set_low_line(diary, person, "4.4", Unit.MMOL_L, from_day=date(2026, 1, 1), why=None, now=NOW)

    assert one_night(diary, person, "8.0", "4.2", "7.0").told is Told.LOW


def test_no_dawn_is_named_anywhere(diary: Diary) -> None:
    person = tilde(diary)
    one_night(diary, person, "8.0", "5.0", "12.0")
    found = found_in(diary, person)

    said = " ".join([*nights_sentences(found), night_words(found.nights[0], found.unit)])
    assert "rose by 1.1 mmol/L or more" in said
    assert "only stands in for its lowest value" in said
    assert "dawn" not in said.casefold()


def test_food_between_night_and_waking_is_another_story(diary: Diary) -> None:
    person = tilde(diary)
    noted(diary, person, "2026-03-04 03:00", "snack")

    assert one_night(diary, person, "8.0", "5.0", "12.0").told is Told.FOOD


def test_an_unmarked_test_in_the_small_hours_is_of_the_night(diary: Diary) -> None:
    person = tilde(diary, day_start=4)
    written(diary, person, "2026-03-04 00:10", "8.0", Mark.BEDTIME)
    written(diary, person, "2026-03-04 02:40", "6.0", Mark.NIGHT)
    written(diary, person, "2026-03-04 04:30", "5.0")
    written(diary, person, "2026-03-04 07:05", "7.0", Mark.WAKING)

    (night,) = found_in(diary, person).nights

    assert night.evening == date(2026, 3, 3)
    assert (len(night.between), night.has_all) == (2, True)
    assert night.lowest is not None
    assert night.lowest.glucose.value == "5"


def test_high_wakings_say_how_bedtime_was(diary: Diary) -> None:
    person = tilde(diary)
    for day, (bedtime, waking) in enumerate([("12.0", "11.0"), ("6.0", "11.0"), ("", "11.0")], 3):
        if bedtime:
            written(diary, person, f"2026-03-0{day} 21:30", bedtime, Mark.BEDTIME)
        written(diary, person, f"2026-03-0{day + 1} 07:00", waking, Mark.WAKING)

    found = found_in(diary, person)
    high = found.high_wakings

    assert (high.n, high.bedtime_high, high.bedtime_not_high, high.no_bedtime) == (3, 1, 1, 1)
    assert found.change.n == 2
    assert found.missing is not None
    assert "nothing can be said of a rise" in " ".join(nights_sentences(found))


def test_the_invented_adults_three_profile_nights(tmp_path: Path) -> None:
    # The household's description: night and waking of the three profile nights before his visit.
    with sample_of(tmp_path, "Corwin") as (diary, person):
        found = nights_of(
            diary,
            record_of(diary, person),
            Period(date(2026, 2, 7), date(2026, 5, 7)),
            now=datetime(2026, 5, 8, 12, tzinfo=UTC),
        )

    tested = [night for night in found.nights if night.between]
    told = [
        (night.lowest.glucose.value, night.waking.glucose.value)
        for night in tested
        if night.lowest and night.waking
    ]
    assert told == [("118", "134"), ("111", "140"), ("122", "130")]
    assert found.with_night == 3
    assert [night.told for night in tested] == [Told.NO_RISE, Told.RISE, Told.NO_RISE]


def test_a_period_without_nights_is_said_in_words(diary: Diary) -> None:
    found = found_in(diary, tilde(diary))

    assert found.nights == ()
    assert list(nights_sentences(found)) == [
        "No night has a value at bedtime, in the night or on waking."
    ]


@pytest.mark.parametrize(("night", "waking"), [("118", "138"), ("111", "130"), ("70", "91")])
def test_the_unit_of_display_changes_no_verdict(diary: Diary, night: str, waking: str) -> None:
    own = corwin(diary)
    other = add_person(diary, "Maude", unit="mmol/L", zone=own.zone, now=NOW)
    for person in (own, other):
        written(diary, person, "2026-03-04 02:40", night, Mark.NIGHT, unit=Unit.MG_DL)
        written(diary, person, "2026-03-04 07:05", waking, Mark.WAKING, unit=Unit.MG_DL)

    (one,), (two,) = found_in(diary, own).nights, found_in(diary, other).nights

    assert (one.told, one.waking_high, one.rise_within_error) == (
        two.told,
        two.waking_high,
        two.rise_within_error,
    )
