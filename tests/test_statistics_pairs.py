from __future__ import annotations

from collections import Counter
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.pair_rules import MealReading, Noted, Why
from app.statistics.pairs import MealPairs, meal_pairs, rise_of

INF = float("inf")


def before(minute: int, value: float = 7.0, meal: str = "lunch", **more: int) -> MealReading:
    return MealReading(minute * 60, value, meal, is_before=True, **more)


def after(minute: int, value: float = 9.0, meal: str = "lunch", **more: int) -> MealReading:
    return MealReading(minute * 60, value, meal, is_before=False, **more)


def why(found: MealPairs) -> list[tuple[Why, int | None]]:
    return [(each.why, each.minutes) for each in found.not_paired]


def test_a_written_meal_between_them_begins_the_meal() -> None:
    (pair,) = meal_pairs([before(0), after(160)], Noted(meals=[40 * 60])).pairs

    assert (pair.start, pair.start_from, pair.minutes) == (40 * 60, "written", 120)


def test_the_minutes_said_begin_the_meal_before_a_written_one() -> None:
    found = meal_pairs([before(0), after(150, after_min=120)], Noted(meals=[40 * 60]))

    assert found.pairs[0].start_from == "minutes_said"
    assert found.pairs[0].start == 30 * 60


def test_a_linked_meal_comes_first() -> None:
    (pair,) = meal_pairs([before(0, start=20 * 60), after(150, after_min=120)]).pairs

    assert (pair.start_from, pair.minutes) == ("written", 130)


def test_the_reading_nearest_to_two_hours_is_taken_and_one_pair_a_meal() -> None:
    found = meal_pairs([before(0), after(60), after(100), after(130), after(200)])

    assert [pair.minutes for pair in found.pairs] == [130]
    assert Counter(why(found)) == {
        (Why.MEAL_HAS_PAIR, 100): 1,
        (Why.MEAL_HAS_PAIR, 60): 1,
        (Why.OUTSIDE, 200): 1,
    }


def test_with_none_near_two_hours_the_one_near_one_hour_is_taken() -> None:
    (pair,) = meal_pairs([before(0), after(50), after(62)]).pairs

    assert (pair.minutes, pair.window) == (62, "1 h")


def test_readings_of_two_meals_are_no_pair() -> None:
    found = meal_pairs([before(0, meal="lunch"), after(120, meal="evening meal")])

    assert not found.pairs
    assert [each for each, _ in why(found)] == [Why.NO_AFTER, Why.NO_BEFORE]


def test_a_second_reading_before_the_same_meal_takes_its_place() -> None:
    found = meal_pairs([before(0), before(20), after(140)])

    assert [pair.before.instant for pair in found.pairs] == [20 * 60]
    assert why(found) == [(Why.LATER_BEFORE, None)]


@pytest.mark.parametrize(
    ("noted", "reason", "minutes"),
    [
        (Noted(snacks=[70 * 60]), Why.FOOD, 70),
        (Noted(meals=[0, 16 * 60]), Why.FOOD, 16),
        (Noted(snacks=[-30 * 60]), Why.FOOD_BEFORE, -30),
        (Noted(doses=[90 * 60]), Why.DOSE, 90),
        (Noted(corrections=[0]), Why.DOSE, 0),
        (Noted(exercise=[(-600, 1200)]), Why.EXERCISE, -10),
        (Noted(exercise=[(6600, 6600)]), Why.EXERCISE, 110),
    ],
)
def test_what_is_noted_between_makes_no_pair(noted: Noted, reason: Why, minutes: int) -> None:
    assert why(meal_pairs([before(0), after(120)], noted)) == [(reason, minutes)]


@pytest.mark.parametrize(
    "noted",
    [
        Noted(meals=[0, 15 * 60]),  # a second course
        Noted(doses=[15 * 60]),  # with the meal
        Noted(snacks=[120 * 60]),  # at the moment of the later reading
        Noted(snacks=[-121 * 60]),
        Noted(exercise=[(-3600, 0)]),
        Noted(exercise=[(7200, 9000)]),
    ],
)
def test_what_is_noted_outside_of_them_leaves_the_pair(noted: Noted) -> None:
    assert len(meal_pairs([before(0), after(120)], noted).pairs) == 1


def test_a_reading_long_before_the_meal_or_after_its_start_is_none_before_it() -> None:
    early = meal_pairs([before(0), after(190)], Noted(meals=[61 * 60]))
    late = meal_pairs([before(0), after(100, after_min=120)])

    assert why(early) == [(Why.BEFORE_TOO_EARLY, 61)]
    assert why(late) == [(Why.BEFORE_IS_LATE, 20)]


def test_a_result_off_the_scale_has_no_rise() -> None:
    assert why(meal_pairs([before(0), after(120, INF)])) == [(Why.OFF_SCALE, None)]


def test_no_pairs_have_no_rise() -> None:
    rise = rise_of([])

    assert (rise.n, rise.median, rise.mean, rise.lowest) == (0, None, None, None)


MINUTES = st.integers(0, 900)
READINGS = st.lists(
    st.builds(
        MealReading,
        instant=MINUTES.map(lambda minute: minute * 60),
        value=st.sampled_from([5.0, 7.5, 9.9, 12.0, INF]),
        meal=st.sampled_from(["lunch", "evening meal", "snack"]),
        is_before=st.booleans(),
        after_min=st.sampled_from([None, None, None, 60, 120]),
        start=st.sampled_from([None, None, None, 6000, 12000]),
    ),
    max_size=14,
    unique_by=lambda each: (each.instant, each.meal, each.is_before),
)
NOTED = st.builds(
    Noted,
    meals=st.lists(MINUTES.map(lambda minute: minute * 60), max_size=3).map(sorted),
    snacks=st.lists(MINUTES.map(lambda minute: minute * 60), max_size=2).map(sorted),
    doses=st.lists(MINUTES.map(lambda minute: minute * 60), max_size=2).map(sorted),
    corrections=st.lists(MINUTES.map(lambda minute: minute * 60), max_size=1),
    exercise=st.lists(
        st.tuples(MINUTES, st.integers(0, 90)).map(lambda at: (at[0] * 60, 60 * sum(at))),
        max_size=2,
    ).map(sorted),
)


@given(READINGS, NOTED, st.randoms())
def test_the_order_of_readings_never_matters(
    readings: list[MealReading], noted: Noted, random: object
) -> None:
    shuffled = list(readings)
    random.shuffle(shuffled)  # type: ignore[attr-defined]

    assert meal_pairs(readings, noted) == meal_pairs(shuffled, noted)


@given(READINGS, NOTED)
def test_the_pairs_are_those_of_a_search_through_all_twos(
    readings: list[MealReading], noted: Noted
) -> None:
    found = meal_pairs(readings, noted)

    assert {(pair.before, pair.after) for pair in found.pairs} == _searched(readings, noted)


@given(READINGS, NOTED)
def test_every_reading_is_in_a_pair_or_has_a_reason(
    readings: list[MealReading], noted: Noted
) -> None:
    found = meal_pairs(readings, noted)

    told = {each for pair in found.pairs for each in (pair.before, pair.after)}
    told |= {each for rest in found.not_paired for each in (rest.before, rest.after) if each}
    assert told == set(readings)


def _searched(readings: list[MealReading], noted: Noted) -> set[tuple[MealReading, MealReading]]:
    """The definition, slowly: look at every two readings, minute by minute between them."""
    fit: dict[MealReading, list[tuple[tuple[int, int, int], MealReading]]] = {}
    for one, two in product(readings, readings):
        if not one.is_before or two.is_before or one.meal != two.meal:
            continue
        if one.instant >= two.instant or INF in (one.value, two.value):
            continue
        if any(
            each.is_before and each.meal == one.meal and one.instant < each.instant < two.instant
            for each in readings
        ):
            continue
        eaten = noted.snacks if one.meal == "snack" else noted.meals
        start = one.instant
        if any(one.instant <= each < two.instant for each in eaten):
            start = min(each for each in eaten if one.instant <= each < two.instant)
        if two.after_min is not None:
            start = two.instant - two.after_min * 60
        for linked in (one.start, two.start):
            start = start if linked is None else linked
        lead, minutes = (start - one.instant) / 60, (two.instant - start) / 60
        if not 0 <= lead <= 60 or not (45 <= minutes <= 75 or 90 <= minutes <= 150):
            continue
        if (two.instant - one.instant) / 60 > 300 or _spoiled(one, two, start, noted):
            continue
        fit.setdefault(one, []).append((_rank(minutes, two), two))
    return {(one, min(those)[1]) for one, those in fit.items()}


def _rank(minutes: float, two: MealReading) -> tuple[int, int, int]:
    late = minutes >= 90
    return (0 if late else 1, int(abs(minutes - (120 if late else 60))), two.instant)


def _spoiled(one: MealReading, two: MealReading, start: int, noted: Noted) -> bool:
    for food in [*noted.meals, *noted.snacks]:
        if one.instant - 7200 <= food < one.instant and food != start:
            return True
        if one.instant <= food < two.instant and abs(food - start) > 900:
            return True
    between = range(one.instant, two.instant, 60)
    if any(each in between for each in noted.corrections):
        return True
    if any(each in between and each > start + 900 for each in noted.doses):
        return True
    return any(
        minute in between
        for begun, ended in noted.exercise
        for minute in range(begun, max(ended, begun + 1), 60)
    )
