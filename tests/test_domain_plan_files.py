"""The trade's own plans, and a person's own file."""

from __future__ import annotations

from datetime import date, datetime, time
from pathlib import Path

import pytest

from app.domain.errors import Refused
from app.domain.marks import Mark
from app.domain.plan_files import read_plan, trade_plan, trade_plans
from app.domain.plans import SCHOOL_DAYS, meal_at, meal_named
from app.review.schedule import schedule_rule
from app.statistics.schedule.expand import checked_recurrence

FIRST = date(2026, 3, 9)  # a Monday

MEALS = {
    Mark.WAKING,
    Mark.AFTER_BREAKFAST,
    Mark.BEFORE_LUNCH,
    Mark.AFTER_LUNCH,
    Mark.BEFORE_EVENING_MEAL,
    Mark.AFTER_EVENING_MEAL,
}
# Which slots each plan covers, by its source beside it in resources/plans.toml.
COVERS = {
    "fasting-bedtime": {Mark.WAKING, Mark.BEDTIME},
    "paired": MEALS,
    "seven-point": {*MEALS, Mark.BEDTIME},
    "eight-point": {*MEALS, Mark.BEDTIME, Mark.NIGHT},
    "staggered": MEALS,
    "five-point": {
        Mark.WAKING,
        Mark.BEFORE_LUNCH,
        Mark.BEFORE_EVENING_MEAL,
        Mark.AFTER_EVENING_MEAL,
        Mark.BEDTIME,
    },
    "before-meals": {Mark.WAKING, Mark.BEFORE_LUNCH, Mark.BEFORE_EVENING_MEAL},
}


def test_every_plan_of_the_trade_covers_its_slots_and_names_its_source() -> None:
    found = {each.key: {rule.mark for rule in each.in_force(FIRST).rules} for each in trade_plans()}

    assert found == COVERS
    assert all(each.source and each.sure for each in trade_plans())


@pytest.mark.parametrize("key", COVERS)
def test_every_recurrence_of_a_trade_plan_is_one(key: str) -> None:
    for rule in trade_plan(key).in_force(FIRST).rules:
        assert rule.rrule is not None
        assert checked_recurrence(rule.rrule) == rule.rrule
        assert schedule_rule(trade_plan(key).in_force(FIRST), rule, {}).label is not None


def test_a_profile_lasts_three_days_and_a_habit_goes_on() -> None:
    assert trade_plan("seven-point").in_force(FIRST).to_day == FIRST.toordinal() + 2
    assert trade_plan("five-point").in_force(FIRST).to_day is None


def test_a_profile_on_chosen_days_begins_with_the_first_and_ends_with_the_last() -> None:
    days = (date(2026, 5, 7), date(2026, 5, 5))

    plan = trade_plan("seven-point").in_force(FIRST, dates=days)

    assert (plan.from_day, plan.to_day) == (days[1].toordinal(), days[0].toordinal())
    assert {rule.dates for rule in plan.rules} == {("20260505", "20260507")}


def test_the_meal_of_paired_testing_rotates_over_the_days() -> None:
    starts = {rule.mark: rule.start.date() for rule in trade_plan("paired").in_force(FIRST).rules}

    assert starts[Mark.WAKING] == starts[Mark.AFTER_BREAKFAST] == date(2026, 3, 9)
    assert starts[Mark.BEFORE_LUNCH] == starts[Mark.AFTER_LUNCH] == date(2026, 3, 10)
    assert starts[Mark.BEFORE_EVENING_MEAL] == date(2026, 3, 11)


def test_a_week_of_staggered_testing_covers_all_meals() -> None:
    rules = {rule.mark: rule.rrule for rule in trade_plan("staggered").in_force(FIRST).rules}

    assert rules[Mark.BEFORE_LUNCH] == rules[Mark.AFTER_LUNCH] == "FREQ=WEEKLY;BYDAY=TU,FR"


def test_a_test_after_a_meal_is_two_hours_after_the_usual_time_of_the_test_before_it() -> None:
    rules = {rule.mark: rule for rule in trade_plan("seven-point").in_force(FIRST).rules}

    after = rules[Mark.AFTER_LUNCH]
    assert (after.relative_to, after.offset_min) == (Mark.BEFORE_LUNCH, 120)
    assert (after.before_min, after.after_min) == (30, 30)


def test_an_own_plan_is_read_with_every_way_to_repeat() -> None:
    plan = read_plan(
        """
        name = "School week"
        [[tests]]
        at = "10:15"
        mark = "before snack"
        on = "school days"
        [[tests]]
        at = "21:00"
        mark = "bedtime"
        weekdays = ["Mon", "thursday"]
        until = 2026-06-26
        [[tests]]
        at = "07:30"
        every = 3
        count = 20
        text = "before swimming"
        [[tests]]
        at = "03:00"
        mark = "night"
        dates = [2026-03-20, "2026-03-14"]
        zone = "Europe/Lisbon"
        [[tests]]
        follows = "before_lunch"
        minutes = -30
        before = 10
        after = 20
        [[tests]]
        at = "08:00"
        rrule = "FREQ=MONTHLY;BYDAY=1FR"
        """,
        FIRST,
        date(2026, 12, 31),
    )

    school, bedtime, swim, night, lunch, month = plan.rules
    assert (plan.name, plan.to_day) == ("School week", date(2026, 12, 31).toordinal())
    assert (school.mark, school.school, school.rrule) == (
        Mark.BEFORE_SNACK,
        SCHOOL_DAYS,
        "FREQ=DAILY",
    )
    assert bedtime.rrule == "FREQ=WEEKLY;BYDAY=MO,TH;UNTIL=20260626T235959"
    assert (swim.words, swim.mark) == ("before swimming", None)
    assert swim.rrule == "FREQ=DAILY;INTERVAL=3;COUNT=20"
    assert (night.dates, night.zone) == (("20260314", "20260320"), "Europe/Lisbon")
    assert (lunch.relative_to, lunch.offset_min) == (Mark.BEFORE_LUNCH, -30)
    assert (lunch.before_min, lunch.after_min) == (10, 20)
    assert month.rrule == "FREQ=MONTHLY;BYDAY=1FR"
    assert month.start == datetime.combine(FIRST, time(8))


@pytest.mark.parametrize(
    ("test", "says"),
    [
        ('mark = "waking"', "needs a time"),
        ('at = "25:00"', "no time of day"),
        ('at = "07:00"\nmark = "elevenses"', "not a mark"),
        ('at = "07:00"\nwhen = "often"', "not understood"),
        ('at = "07:00"\nevery = 0', "whole number"),
        ('at = "07:00"\nevery = true', "whole number"),
        ('at = "07:00"\nweekdays = ["Xyz"]', "weekdays are"),
        ('at = "07:00"\nweekdays = ["Mon"]\nevery = 2', "exclude"),
        ('at = "07:00"\nuntil = 2026-04-01\ncount = 3', "exclude"),
        ('at = "07:00"\ndates = []', "dates is empty"),
        ('at = "07:00"\ndates = ["soon"]', "no day"),
        ('at = "07:00"\non = "feast days"', "school days"),
        ('at = "07:00"\nzone = "Moon/Crater"', "not a time zone"),
        ('follows = "waking"\nrrule = "FREQ=HOURLY"', "within the day"),
        ('at = "07:00"\nweekdays = 3', "Test 1"),
    ],
)
def test_a_test_that_makes_no_sense_is_refused_by_its_number(test: str, says: str) -> None:
    with pytest.raises(Refused, match=says) as refused:
        read_plan(f"[[tests]]\n{test}\n", FIRST)

    assert "Test 1" in str(refused.value)
    assert str(refused.value).endswith("Nothing was changed.")


def test_the_plan_that_the_readme_shows_is_one() -> None:
    readme = (Path(__file__).parent.parent / "README.md").read_text("utf-8")
    shown = readme.split('name = "School week"')[1].split("```")[0]

    plan = read_plan(shown, FIRST)

    assert [rule.mark for rule in plan.rules] == [
        Mark.BEFORE_SNACK,
        Mark.BEDTIME,
        Mark.AFTER_LUNCH,
    ]


@pytest.mark.parametrize("text", ["", "name = 3", "tests = 3", "tests = []", "= ="])
def test_a_file_without_tests_is_no_plan(text: str) -> None:
    with pytest.raises(Refused, match=r"Nothing was changed\."):
        read_plan(text, FIRST)


def test_an_unknown_kind_is_refused_with_those_there_are() -> None:
    with pytest.raises(Refused, match="five-point"):
        trade_plan("nine-point")


def test_a_meal_is_named_by_its_word_or_its_mark_and_by_the_usual_time() -> None:
    usual = {Mark.WAKING: 420, Mark.BEFORE_LUNCH: 750}

    assert [meal_named(each) for each in ("Lunch", "evening-meal", "after_breakfast", "tea")] == [
        "lunch",
        "evening meal",
        "breakfast",
        None,
    ]
    assert [meal_at(minute, usual) for minute in (430, 760, 1200)] == ["breakfast", "lunch", "meal"]
    assert meal_at(430, {}) == "meal"
