from __future__ import annotations

import pytest

from app.domain.errors import Refused
from app.domain.glucose import LimitPair, Unit, converted
from app.domain.marks import MARKS, Mark, known_mark
from app.domain.targets import (
    AFTER,
    ALL,
    BEDTIME,
    BEFORE,
    CARE_TEAM_LINE,
    WAKING,
    Limit,
    Preset,
    TargetSet,
    in_force,
    limit_for,
    preset,
    presets,
)

every_preset = pytest.mark.parametrize("found", presets(), ids=lambda found: found.key)


def a_set(*limits: Limit, from_day: int = 0, name: str = "own") -> TargetSet:
    return TargetSet(from_day, name, "the care team", limits)


def limit(mark: str, low: float | None, high: float | None, *minutes: int) -> Limit:
    def pair(mmol: float | None) -> LimitPair | None:
        return None if mmol is None else LimitPair(round(mmol * 18.0156), mmol)

    return Limit(mark, pair(low), pair(high), False, *(minutes or (None, None)))


def test_the_presets_cover_those_who_test() -> None:
    assert {found.key for found in presets()} >= {
        "ada-adults",
        "nice-adults-type-1",
        "nice-under-18",
        "ispad-2022",
        "ada-pregnancy",
        "ada-older-healthy",
    }
    assert len({found.key for found in presets()}) == len(presets())


@every_preset
def test_a_preset_says_who_published_it(found: Preset) -> None:
    assert found.name
    assert any(char.isdigit() for char in found.source)
    assert any(body in found.source for body in ("American Diabetes", "NICE", "ISPAD"))


@every_preset
def test_a_preset_speaks_of_marks_that_there_are(found: Preset) -> None:
    groups = {WAKING, BEFORE, AFTER, BEDTIME, ALL}

    assert found.limits
    for each in found.limits:
        assert each.mark in groups or known_mark(each.mark)


@every_preset
def test_the_ends_of_a_limit_are_in_order_and_its_two_units_agree(found: Preset) -> None:
    for each in found.limits:
        ends = [end for end in (each.low, each.high) if end is not None]
        assert ends
        for end in ends:
            # A pair is printed rounded: whole mg/dL beside tenths of mmol/L.
            away = converted(end.mmol_l, Unit.MMOL_L, Unit.MG_DL) - end.mg_dl
            assert abs(away) <= 2.1
        if len(ends) == 2:
            assert ends[0].mg_dl < ends[1].mg_dl
            assert ends[0].mmol_l < ends[1].mmol_l
        if each.after_from is not None and each.after_to is not None:
            assert 0 <= each.after_from < each.after_to


@every_preset
def test_a_preset_put_in_force_keeps_where_it_came_from(found: Preset) -> None:
    placed = found.from_day(739000)

    assert (placed.from_day, placed.preset, placed.source) == (739000, found.key, found.source)
    assert placed.limits == found.limits


def test_an_unknown_preset_is_refused_with_those_there_are() -> None:
    with pytest.raises(Refused, match=r"named \"mine\"\. Those there are: ada-adults, "):
        preset("mine")


def test_the_care_team_comes_first() -> None:
    assert CARE_TEAM_LINE == "The goals agreed with your own care team come first."


FULL = a_set(
    limit(WAKING, 5, 7), limit(BEFORE, 4, 7), limit(AFTER, 5, 9), limit(BEDTIME, 6, 10),
    limit(ALL, 4, 10),
)  # fmt: skip


@pytest.mark.parametrize(
    ("mark", "group"),
    [
        (Mark.WAKING, WAKING),
        (Mark.FASTING, WAKING),
        (Mark.BEFORE_LUNCH, BEFORE),
        (Mark.BEFORE_EVENING_MEAL, BEFORE),
        (Mark.BEFORE_SNACK, BEFORE),
        (Mark.BEFORE_MEAL, BEFORE),
        (Mark.AFTER_BREAKFAST, AFTER),
        (Mark.AFTER_LUNCH, AFTER),
        (Mark.AFTER_EVENING_MEAL, AFTER),
        (Mark.AFTER_SNACK, AFTER),
        (Mark.AFTER_MEAL, AFTER),
        (Mark.BEDTIME, BEDTIME),
        (Mark.NIGHT, ALL),
        (Mark.CASUAL, ALL),
        (Mark.NONE, ALL),
    ],
)
def test_each_mark_is_judged_by_its_own_limit(mark: Mark, group: str) -> None:
    found = limit_for(FULL, mark, None)

    assert found is not None
    assert found.mark == group


def test_every_mark_has_its_line_above() -> None:
    assert len(MARKS) == 15


@pytest.mark.parametrize("mark", MARKS)
def test_without_a_limit_of_its_own_a_mark_falls_back_to_the_general_one(mark: Mark) -> None:
    general = limit(ALL, 4, 10)

    assert limit_for(a_set(general), mark, None) is general
    assert limit_for(a_set(), mark, None) is None


def test_a_limit_for_the_very_mark_comes_before_its_groups() -> None:
    lunch = limit("before_lunch", 4, 8)

    assert limit_for(a_set(limit(BEFORE, 4, 7), lunch), Mark.BEFORE_LUNCH, None) is lunch


def test_bedtime_is_no_meal() -> None:
    assert limit_for(a_set(limit(BEFORE, 4, 7), limit(AFTER, 5, 9)), Mark.BEDTIME, None) is None


def test_fasting_is_not_judged_by_before_meals() -> None:
    assert limit_for(a_set(limit(BEFORE, 4, 7)), Mark.FASTING, None) is None


@pytest.mark.parametrize(
    ("minutes", "high"),
    [(None, 10.0), (0, 10.0), (44, 10.0), (45, 7.8), (75, 7.8), (76, 10.0), (90, 6.7), (150, 6.7)],
)
def test_minutes_after_the_meal_choose_and_else_the_general_limit_holds(
    minutes: int | None, high: float
) -> None:
    two = a_set(limit(AFTER, None, 7.8, 45, 75), limit(AFTER, None, 6.7, 90, 150),
                limit(ALL, 4, 10.0))  # fmt: skip

    found = limit_for(two, Mark.AFTER_LUNCH, minutes)

    assert found is not None
    assert found.high is not None
    assert found.high.mmol_l == high


def test_the_set_of_the_newest_day_holds() -> None:
    first, second = a_set(from_day=100, name="first"), a_set(from_day=200, name="second")

    held = [in_force((first, second), day) for day in (99, 100, 199, 200, 100000)]

    assert [each and each.name for each in held] == [None, "first", "first", "second", "second"]


def test_of_two_sets_of_one_day_the_later_holds() -> None:
    one, other = a_set(from_day=100, name="one"), a_set(from_day=100, name="other")

    assert in_force((one, other), 100) is other
