from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.domain.clock import Period, moment_at, offsets_of
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Standing
from app.domain.written import Dose, Event
from app.review.noted import noted_from
from app.review.pair_words import pair_words, rise_words, why_words
from app.review.pairs import PairsFound, pairs_of
from app.review.record import record_of
from app.statistics.pair_rules import Why
from app.store import schema
from app.store.diary import Diary
from app.store.readings import moment_fields
from app.work.people import add_person
from tests.households import INSTALLATION, NOW, corwin, new_diary, sample_of, tilde, written

MARCH = Period(date(2026, 3, 1), date(2026, 3, 12))
BEFORE, AFTER = Mark.BEFORE_EVENING_MEAL, Mark.AFTER_EVENING_MEAL


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def found_in(diary: Diary, person: Person, period: Period = MARCH) -> PairsFound:
    return pairs_of(diary, record_of(diary, person), period, now=NOW)


def noted(
    diary: Diary, person: Person, at: str, kind: str, *, level: str | None = None,
    carb_g: float | None = None,
) -> None:  # fmt: skip
    wall = datetime.fromisoformat(at)
    moment = moment_at(wall, person.zone, offsets_of(wall, person.zone)[0])
    with diary.change("enter", {"event": kind}, now=NOW, person=person) as change:
        change.add(
            schema.event,
            person_id=person.id,
            kind=kind,
            level=level,
            carb_g=carb_g,
            **moment_fields(moment),
            origin="typed",
            entered_at=moment.instant,
        )


def test_a_pair_says_its_rise_and_what_stands_for_the_start(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-03 18:20", "6.2", BEFORE)
    written(diary, person, "2026-03-03 20:20", "10.9", AFTER)

    found = found_in(diary, person)
    (pair,) = found.pairs

    assert pair.rise == pytest.approx(4.7)
    assert (pair.before.mark, pair.after.level.letter, pair.window) == (BEFORE, "H", "2 h")
    assert (
        pair_words(pair, found.unit) == "6.2 → 10.9, +4.7 mmol/L, 120 min after the reading before"
    )
    assert found.all_meals.no_start == 1
    assert rise_words(found.all_meals, found.unit).endswith("needs 3 pairs; there is 1 pair")


def test_a_written_meal_begins_it_and_a_written_snack_ends_it(diary: Diary) -> None:
    person = tilde(diary)
    for day in (3, 4):
        written(diary, person, f"2026-03-0{day} 18:20", "6.2", BEFORE)
        noted(diary, person, f"2026-03-0{day} 18:50", "meal")
        written(diary, person, f"2026-03-0{day} 20:30", "9.9", AFTER)
    noted(diary, person, "2026-03-04 19:50", "other", carb_g=12)

    found = found_in(diary, person)

    assert [(pair.minutes, pair.start_from) for pair in found.pairs] == [(100, "written")]
    assert [why_words(each) for each in found.not_paired] == [
        "food noted between, 60 min after its start"
    ]


def test_exercise_that_was_not_hard_leaves_the_pair(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-03 18:20", "6.2", BEFORE)
    noted(diary, person, "2026-03-03 19:00", "exercise", level="less")
    written(diary, person, "2026-03-03 20:30", "9.9", AFTER)

    assert len(found_in(diary, person).pairs) == 1

    noted(diary, person, "2026-03-03 19:10", "exercise")

    assert [each.why for each in found_in(diary, person).not_paired] == [Why.EXERCISE]


def test_a_meal_over_midnight_belongs_to_the_day_of_its_first_reading(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-03 22:50", "6.2", BEFORE)
    written(diary, person, "2026-03-04 00:50", "9.9", AFTER)

    def pairs_on(day: int) -> tuple[int, int]:
        found = found_in(diary, person, Period(date(2026, 3, day), date(2026, 3, day)))
        return len(found.pairs), len(found.not_paired)

    assert [pairs_on(day) for day in (3, 4)] == [(1, 0), (0, 0)]


def test_what_does_not_count_makes_no_pair_and_doubt_is_told(diary: Diary) -> None:
    person = tilde(diary)
    for day, how in ((3, Standing.SET_ASIDE), (4, Standing.COUNTED)):
        written(diary, person, f"2026-03-0{day} 18:20", "6.2", BEFORE, hands="not")
        written(diary, person, f"2026-03-0{day} 20:20", "9.9", AFTER, standing=how)

    found = found_in(diary, person)

    assert [pair.in_doubt for pair in found.pairs] == [True]
    assert (found.all_meals.in_doubt, found.all_meals.without_doubt.n) == (1, 0)
    assert [each.why for each in found.not_paired] == [Why.NO_AFTER]
    assert why_words(found.not_paired[0]).endswith("the next came 1440 min later")


def test_a_period_without_readings_has_no_rise_and_no_meals(diary: Diary) -> None:
    found = found_in(diary, tilde(diary))

    assert (found.pairs, found.not_paired) == ((), ())
    assert [each.meal for each in found.by_meal] == ["all meals"]
    assert rise_words(found.all_meals, found.unit) == "no pairs"


def test_doses_by_kind(diary: Diary) -> None:
    at = moment_at(datetime(2026, 3, 3, 19), "UTC", 0)  # noqa: DTZ001 - a wall time
    doses = [
        Dose(number, INSTALLATION, "insulin", kind, "4", "U", at)
        for number, kind in enumerate((None, "Correction", "basal", "tablet"))
    ]
    meal = Event(1, INSTALLATION, "meal", None, at, None, None, None)

    found = noted_from([meal], doses)

    assert list(found.doses) == [at.instant] * 2
    assert list(found.corrections) == [at.instant]
    assert list(found.meals) == [at.instant]


def test_the_invented_adults_paired_days_are_pairs(tmp_path: Path) -> None:
    # Mondays pair breakfast, Wednesdays lunch, Fridays the evening meal, in his description.
    with sample_of(tmp_path, "Corwin") as (diary, person):
        found = pairs_of(
            diary,
            record_of(diary, person),
            Period(date(2026, 2, 7), date(2026, 5, 7)),
            now=datetime(2026, 5, 8, 12, tzinfo=UTC),
        )

    planned = [
        pair for pair in found.pairs if pair.before.wall < datetime.fromisoformat("2026-05-04")
    ]
    weekday = {"breakfast": 0, "lunch": 2, "evening meal": 4}
    assert len(planned) > 10
    assert all(pair.before.wall.weekday() == weekday[pair.meal] for pair in planned)
    # His description makes each meal raise by 38 to 51 mg/dL on average.
    assert found.all_meals.rise.mean is not None
    assert 30 < found.all_meals.rise.mean < 70


@settings(
    max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(st.tuples(st.integers(40, 300), st.integers(40, 300)), min_size=1, max_size=6))
def test_the_unit_of_display_changes_no_pair_and_no_verdict(
    tmp_path_factory: pytest.TempPathFactory, days: list[tuple[int, int]]
) -> None:
    with new_diary(tmp_path_factory.mktemp("pairs")) as diary:
        own = corwin(diary)
        other = add_person(diary, "Maude", unit="mmol/L", zone=own.zone, now=NOW)
        for person in (own, other):
            for day, (low, high) in enumerate(days, 1):
                for clock, value, mark in (("18:00", low, BEFORE), ("20:00", high, AFTER)):
                    written(
                        diary, person, f"2026-03-0{day} {clock}", str(value), mark, unit=Unit.MG_DL
                    )
        one, two = (found_in(diary, person) for person in (own, other))

    assert [pair.within_error for pair in one.pairs] == [pair.within_error for pair in two.pairs]
    assert len(one.pairs) == len(two.pairs) == len(days)
    assert [pair.rise for pair in two.pairs] == pytest.approx(
        [pair.rise / 18.0156 for pair in one.pairs]
    )
