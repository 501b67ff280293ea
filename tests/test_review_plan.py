"""The plan beside what was done: states, counts, gaps, versions, all taken back by undo."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from app.domain.clock import Period, moment_at
from app.domain.errors import Refused
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.plan_files import read_plan, trade_plan
from app.domain.plans import ELSEWHERE, MOVE
from app.domain.reading import Standing
from app.domain.wishes import Wishes
from app.review.plan import due_now, grid_of, timeline_of
from app.review.plan_words import NOTHING_WRITTEN, repeats_words, state_words, time_words
from app.review.record import record_of
from app.review.schedule import Planned, ground_of, planned_in
from app.statistics.schedule.settle import DOUBLED, State
from app.store.diary import Diary
from app.store.plans import plans_of
from app.store.state_hash import state_hash
from app.store.wishes import usual_times
from app.work.bin import remove_person
from app.work.note_days import note_days
from app.work.plan import (
    begin_meal,
    change_plan,
    end_plans,
    expect_again,
    pause_plan,
    put_aside,
    resume_plan,
    set_plan,
)
from app.work.settings import change_settings
from app.work.take_back import redo_last, undo_last
from tests.households import NOW, new_diary, tilde, written

MONDAY = date(2026, 3, 2)
TODAY = date(2026, 3, 12)  # a Thursday; NOW is 21:30 in Lisbon


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def person(diary: Diary) -> Person:
    return tilde(diary)


def put(diary: Diary, person: Person, key: str, first: date = MONDAY, **more: object) -> None:
    set_plan(diary, person, trade_plan(key).in_force(first), now=NOW, **more)  # type: ignore[arg-type]


def day_of(diary: Diary, person: Person, day: date = TODAY, now: datetime = NOW) -> list[Planned]:
    period = Period(day, day)
    return planned_in(record_of(diary, person), ground_of(diary, person), period, now=now)


def states(planned: list[Planned]) -> list[tuple[str, State]]:
    return [(f"{each.wall:%H:%M}", each.settled.state) for each in planned]


def test_a_day_has_each_test_with_its_state(diary: Diary, person: Person) -> None:
    put(diary, person, "five-point")
    kept = written(diary, person, "2026-03-12 07:20", "6.1", Mark.WAKING)
    written(diary, person, "2026-03-12 14:00", "8.0")
    written(diary, person, "2026-03-12 18:40", "6.0", standing=Standing.NOT_MINE)

    found = day_of(diary, person)

    assert states(found) == [
        ("07:00", State.DONE),
        ("12:30", State.DONE_LATE),
        ("18:30", State.DUE),
        ("20:30", State.DUE),
        ("22:00", State.UPCOMING),
    ]
    assert [state_words(each) for each in found[:3]] == [
        "done",
        "done late, 90 min after its time",
        "due, its time is over",
    ]
    with diary.driver() as driver:
        (uid,) = driver.execute(
            "SELECT uid FROM reading WHERE id = ?", (found[0].reading_id,)
        ).fetchone()
    assert uid == kept.bytes


def test_a_reading_that_was_set_aside_was_a_test_all_the_same(diary: Diary, person: Person) -> None:
    put(diary, person, "fasting-bedtime")
    written(diary, person, "2026-03-12 07:20", "6.1", standing=Standing.SET_ASIDE)

    assert day_of(diary, person)[0].settled.state is State.DONE


def test_counts_say_what_was_kept_and_where_it_slips(diary: Diary, person: Person) -> None:
    put(diary, person, "fasting-bedtime")
    for day in range(2, 13):
        written(diary, person, f"2026-03-{day:02} 07:05", "6.1", Mark.WAKING)
    written(diary, person, "2026-03-04 22:10", "7.0", Mark.BEDTIME)
    written(diary, person, "2026-03-05 23:30", "7.0", Mark.BEDTIME)
    written(diary, person, "2026-03-05 15:00", "7.0", Mark.AFTER_LUNCH)

    grid = grid_of(
        record_of(diary, person), ground_of(diary, person), Period(MONDAY, TODAY), now=NOW
    )

    assert (grid.kept.all.words, grid.kept.all.late, grid.kept.still_open) == ("13 of 21", 1, 1)
    assert grid.kept.by_mark[Mark.BEDTIME].words == "2 of 10"
    assert grid.kept.slips[0] == "bedtime: 2 of 10 written"
    rows = {row.mark: row for row in grid.rows}
    assert sum(rows[Mark.AFTER_LUNCH].extras) == rows[Mark.AFTER_LUNCH].extras[3] == 1
    assert rows[Mark.AFTER_LUNCH].count is None
    assert sum(rows[Mark.WAKING].extras) == 0


def test_a_plan_that_was_kept_slips_nowhere(diary: Diary, person: Person) -> None:
    put(diary, person, "fasting-bedtime", TODAY - timedelta(days=1))
    written(diary, person, "2026-03-11 07:00", "6.1")
    written(diary, person, "2026-03-11 22:00", "6.1")

    found = timeline_of(
        record_of(diary, person), ground_of(diary, person), TODAY - timedelta(days=1), now=NOW
    )

    assert (found.kept.all.words, found.kept.slips) == ("2 of 2", ())


def test_nothing_written_is_said_in_neutral_words(diary: Diary, person: Person) -> None:
    put(diary, person, "fasting-bedtime")

    assert state_words(day_of(diary, person, MONDAY)[0]) == NOTHING_WRITTEN


def test_a_changed_plan_is_a_new_version_and_the_days_before_keep_the_old_one(
    diary: Diary, person: Person
) -> None:
    put(diary, person, "fasting-bedtime")
    before = [each.key for each in day_of(diary, person, MONDAY)]
    put(diary, person, "before-meals", TODAY)

    old, new = plans_of(diary, person)
    assert (old.to_day, new.from_day) == (TODAY.toordinal() - 1, TODAY.toordinal())
    assert [each.key for each in day_of(diary, person, MONDAY)] == before
    assert [each.mark for each in day_of(diary, person)] == [
        Mark.WAKING,
        Mark.BEFORE_LUNCH,
        Mark.BEFORE_EVENING_MEAL,
    ]


def test_a_plan_set_twice_from_one_day_on_replaces_the_first(diary: Diary, person: Person) -> None:
    put(diary, person, "fasting-bedtime")
    put(diary, person, "before-meals")

    assert [plan.kind for plan in plans_of(diary, person)] == ["before-meals"]


def test_one_version_alone_is_changed(diary: Diary, person: Person) -> None:
    put(diary, person, "fasting-bedtime")
    put(diary, person, "seven-point", TODAY, beside=True)
    habit = plans_of(diary, person)[0]
    fewer = replace(habit, from_day=TODAY.toordinal(), rules=habit.rules[:1])

    change_plan(diary, person, habit, fewer, now=NOW)

    kinds = [(plan.kind, plan.from_day, len(plan.rules)) for plan in plans_of(diary, person)]
    assert kinds == [
        ("fasting-bedtime", MONDAY.toordinal(), 2),
        ("seven-point", TODAY.toordinal(), 7),
        ("fasting-bedtime", TODAY.toordinal(), 1),
    ]


def test_a_profile_beside_the_plan_asks_for_the_same_test_once(
    diary: Diary, person: Person
) -> None:
    put(diary, person, "fasting-bedtime")
    put(diary, person, "seven-point", TODAY, beside=True)
    written(diary, person, "2026-03-12 07:05", "6.1")

    found = day_of(diary, person)

    waking = [each.settled for each in found if each.mark is Mark.WAKING]
    assert sorted((each.state, each.why) for each in waking) == [
        (State.DONE, None),
        (State.NOT_EXPECTED, DOUBLED),
    ]
    assert len(found) == 9


@pytest.mark.parametrize("kind", ["away", "journey", "sick"])
def test_on_days_away_and_on_sick_days_no_test_is_expected(
    diary: Diary, person: Person, kind: str
) -> None:
    put(diary, person, "fasting-bedtime")
    note_days(diary, person, kind, MONDAY, MONDAY, now=NOW)

    assert {each.settled.state for each in day_of(diary, person, MONDAY)} == {State.NOT_EXPECTED}
    assert {each.settled.why for each in day_of(diary, person, MONDAY)} == {kind}
    grid = grid_of(
        record_of(diary, person), ground_of(diary, person), Period(MONDAY, MONDAY), now=NOW
    )
    assert (grid.kept.all.planned, grid.kept.not_expected) == (0, {kind: 2})


def test_a_pause_goes_on_until_the_plan_is_resumed(diary: Diary, person: Person) -> None:
    put(diary, person, "fasting-bedtime")
    pause_plan(diary, person, date(2026, 3, 10), None, now=NOW)
    paused = states(day_of(diary, person))
    with pytest.raises(Refused, match="paused"):
        pause_plan(diary, person, TODAY, None, now=NOW)

    resume_plan(diary, person, TODAY, now=NOW)

    assert [state for _, state in paused] == [State.NOT_EXPECTED] * 2
    assert [state for _, state in states(day_of(diary, person))] == [State.MISSED, State.UPCOMING]
    yesterday = day_of(diary, person, TODAY - timedelta(days=1))
    assert {each.settled.why for each in yesterday} == {"paused"}
    with pytest.raises(Refused, match="not paused"):
        resume_plan(diary, person, TODAY, now=NOW)


def test_a_usual_time_that_changes_moves_the_tests_from_its_day_on_alone(
    diary: Diary, person: Person
) -> None:
    put(diary, person, "fasting-bedtime")
    wishes = Wishes("Tilde", person.unit, person.zone)

    def waking_times() -> list[str]:
        days = (TODAY - timedelta(days=1), TODAY, TODAY + timedelta(days=1))
        return [f"{day_of(diary, person, day)[0].wall:%H:%M}" for day in days]

    for usual, expected in (
        ({Mark.WAKING: 390}, ["07:00", "06:30", "06:30"]),
        ({Mark.WAKING: 400}, ["07:00", "06:40", "06:40"]),
    ):
        change_settings(diary, person, replace(wishes, usual_times=usual), now=NOW)
        assert waking_times() == expected
    tomorrow = replace(wishes, usual_times={Mark.WAKING: 480})
    change_settings(diary, person, tomorrow, now=NOW + timedelta(days=1))
    assert waking_times() == ["07:00", "06:40", "08:00"]
    assert usual_times(diary, person) == {Mark.WAKING: 480}
    change_settings(diary, person, wishes, now=NOW + timedelta(days=1))
    assert usual_times(diary, person) == {}


def test_one_planned_test_is_put_aside_moved_done_elsewhere_and_expected_again(
    diary: Diary, person: Person
) -> None:
    put(diary, person, "fasting-bedtime")
    waking = day_of(diary, person)[0]
    assert waking.rule is not None
    at = waking.settled.occurrence.planned

    put_aside(diary, person, waking.rule.id, at, now=NOW)
    assert state_words(day_of(diary, person)[0]) == "put aside"
    put_aside(diary, person, waking.rule.id, at, now=NOW, kind=ELSEWHERE)
    assert state_words(day_of(diary, person)[0]) == "done elsewhere, not written here"
    put_aside(diary, person, waking.rule.id, at, now=NOW, kind=MOVE, to=at + timedelta(hours=16))
    moved = {each.mark: each for each in day_of(diary, person)}[Mark.WAKING]
    assert (f"{moved.wall:%H:%M}", moved.key) == ("23:00", waking.key)

    expect_again(diary, person, waking.rule.id, at, now=NOW)

    assert states(day_of(diary, person))[0] == ("07:00", State.MISSED)


def test_school_days_follow_terms_and_holidays(diary: Diary, person: Person) -> None:
    plan = read_plan('[[tests]]\nat = "10:00"\non = "school days"\n', MONDAY)
    free = read_plan('[[tests]]\nat = "11:00"\non = "free days"\n', MONDAY)
    set_plan(diary, person, plan, now=NOW)
    set_plan(diary, person, free, now=NOW, beside=True)
    note_days(diary, person, "term", MONDAY, date(2026, 3, 27), now=NOW)
    note_days(diary, person, "holiday", date(2026, 3, 4), date(2026, 3, 4), now=NOW)

    hours = {
        day: [each.wall.hour for each in day_of(diary, person, date(2026, 3, day))]
        for day in (2, 4, 7, 30)
    }

    assert hours == {2: [10], 4: [11], 7: [11], 30: [11]}


def test_a_meal_that_begins_makes_the_test_two_hours_later_due_in_place_of_the_planned_one(
    diary: Diary, person: Person
) -> None:
    put(diary, person, "five-point")
    start = moment_at(datetime.fromisoformat("2026-03-12T19:15"), person.zone, 0)

    begin_meal(diary, person, start, now=NOW, meal="evening meal")

    found = [each for each in day_of(diary, person) if each.mark is Mark.AFTER_EVENING_MEAL]
    assert [(f"{each.wall:%H:%M}", each.settled.state) for each in found] == [
        ("20:30", State.NOT_EXPECTED),
        ("21:15", State.DUE),
    ]
    written(diary, person, "2026-03-12 21:28", "8.0", Mark.AFTER_EVENING_MEAL)
    assert day_of(diary, person)[-2].settled.state is State.DONE


def test_a_meal_that_was_said_to_begin_on_a_sick_day_makes_its_test_due_all_the_same(
    diary: Diary, person: Person
) -> None:
    note_days(diary, person, "sick", TODAY, TODAY, now=NOW)
    start = moment_at(datetime.fromisoformat("2026-03-12T19:15"), person.zone, 0)

    begin_meal(diary, person, start, now=NOW)

    assert states(day_of(diary, person)) == [("21:15", State.DUE)]


def test_two_hours_after_a_meal_are_two_real_hours_when_the_clocks_change(
    diary: Diary, person: Person
) -> None:
    put(diary, person, "fasting-bedtime")
    night = date(2026, 3, 29)  # in Lisbon 1:00 becomes 2:00
    start = moment_at(datetime.fromisoformat("2026-03-29T00:30"), person.zone, 0)
    later = datetime(2026, 3, 29, 3, 0, tzinfo=UTC)

    begin_meal(diary, person, start, now=later, meal="snack")

    (snack,) = [each for each in day_of(diary, person, night) if each.mark is Mark.AFTER_SNACK]
    assert (f"{snack.wall:%H:%M}", snack.instant - start.instant) == ("03:30", 7200)


def test_what_is_due_at_a_time_goes_by_the_readings_up_to_then(
    diary: Diary, person: Person
) -> None:
    put(diary, person, "five-point")
    written(diary, person, "2026-03-12 07:20", "6.1", Mark.WAKING)
    record, ground = record_of(diary, person), ground_of(diary, person)

    early = due_now(record, ground, now=datetime(2026, 3, 12, 7, 5, tzinfo=UTC))
    late = due_now(record, ground, now=datetime(2026, 3, 12, 7, 30, tzinfo=UTC))

    assert [each.mark for each in early.due] == [Mark.WAKING]
    assert late.due == ()
    assert [f"{each.wall:%d %H:%M}" for each in late.to_come] == [
        "12 12:30",
        "12 18:30",
        "12 20:30",
        "12 22:00",
        "13 07:00",
    ]
    noon = int(datetime(2026, 3, 12, 12, 30, tzinfo=UTC).timestamp())
    assert late.wake_up == noon


def test_the_plan_says_what_it_can_never_see(diary: Diary, person: Person) -> None:
    put(diary, person, "staggered")
    written(diary, person, "2026-03-05 03:05", "6.1", Mark.NIGHT)

    gaps = grid_of(
        record_of(diary, person), ground_of(diary, person), Period(MONDAY, TODAY), now=NOW
    ).gaps

    assert gaps is not None
    assert gaps.unseen[:2] == (
        "bedtime: not in the plan; lows and highs there would not be seen",
        "night: not in the plan; tested once in 90 days",
    )
    assert "before lunch: never on Mon, Wed, Thu, Sat, Sun" in gaps.unseen
    assert sum(gaps.counts[Mark.BEFORE_LUNCH]) == 8


def test_without_a_plan_there_are_no_gaps_of_it_and_nothing_is_due(
    diary: Diary, person: Person
) -> None:
    record, ground = record_of(diary, person), ground_of(diary, person)

    grid = grid_of(record, ground, Period(MONDAY, TODAY), now=NOW)

    assert (grid.gaps, grid.kept.all.planned, grid.in_force) == (None, 0, ())
    assert due_now(record, ground, now=NOW).wake_up is None


def test_a_diary_day_that_starts_at_four_holds_the_test_of_the_night(
    diary: Diary, tmp_path: Path
) -> None:
    with new_diary(tmp_path, "late.thimblebook") as other:
        late = tilde(other, day_start=4)
        put(other, late, "eight-point", TODAY)

        walls = [f"{each.wall:%d %H:%M}" for each in day_of(other, late)]

    assert (walls[0], walls[-1]) == ("12 07:00", "13 03:00")


def test_setting_the_clock_changes_no_name_of_a_planned_test(diary: Diary, person: Person) -> None:
    put(diary, person, "eight-point", date(2026, 3, 28))
    night = Period(date(2026, 3, 28), date(2026, 3, 30))
    record, ground = record_of(diary, person), ground_of(diary, person)

    names = [
        [each.key for each in planned_in(record, ground, night, now=NOW + timedelta(hours=hours))]
        for hours in (0, 380, 390, 389, 400, 5)
    ]

    assert len({tuple(each) for each in names}) == 1
    assert len(set(names[0])) == len(names[0]) == 24


def test_everything_about_a_plan_can_be_taken_back_and_done_again(
    diary: Diary, person: Person
) -> None:
    put(diary, person, "fasting-bedtime")
    rule = plans_of(diary, person)[0].rules[0]
    at = datetime.combine(TODAY, rule.start.time())
    start = moment_at(datetime.fromisoformat("2026-03-12T19:15"), person.zone, 0)
    doings = (
        lambda: put(diary, person, "five-point", TODAY),
        lambda: put(diary, person, "seven-point", TODAY, beside=True),
        lambda: pause_plan(diary, person, TODAY, None, now=NOW),
        lambda: resume_plan(diary, person, TODAY + timedelta(days=1), now=NOW),
        lambda: put_aside(diary, person, rule.id, at, now=NOW),
        lambda: expect_again(diary, person, rule.id, at, now=NOW),
        lambda: begin_meal(diary, person, start, now=NOW),
        lambda: end_plans(diary, person, TODAY, now=NOW),
        lambda: put(diary, person, "before-meals"),
    )
    for do in doings:
        before = state_hash(diary)
        do()
        after = state_hash(diary)
        undo_last(diary, person, now=NOW)
        assert state_hash(diary) == before != after
        redo_last(diary, person, now=NOW)
        assert state_hash(diary) == after


def test_a_person_goes_into_the_bin_with_the_plan_and_comes_back_with_it(
    diary: Diary, person: Person
) -> None:
    put(diary, person, "fasting-bedtime")
    rule = plans_of(diary, person)[0].rules[0]
    put_aside(diary, person, rule.id, datetime.combine(TODAY, rule.start.time()), now=NOW)
    before, plans = state_hash(diary), plans_of(diary, person)

    remove_person(diary, person, name_again="Tilde", now=NOW)
    gone = plans_of(diary, person)
    undo_last(diary, None, now=NOW)

    assert gone == ()
    assert (state_hash(diary), plans_of(diary, person)) == (before, plans)


def test_plans_without_tests_and_upside_down_are_refused(diary: Diary, person: Person) -> None:
    plan = trade_plan("five-point").in_force(TODAY)

    with pytest.raises(Refused, match="at least one test"):
        set_plan(diary, person, replace(plan, rules=()), now=NOW)
    with pytest.raises(Refused, match="before it begins"):
        set_plan(diary, person, replace(plan, to_day=plan.from_day - 1), now=NOW)
    wrong = replace(plan.rules[0], recurs=("RRULE:FREQ=SOMETIMES",))
    with pytest.raises(Refused, match="can't repeat"):
        set_plan(diary, person, replace(plan, rules=(wrong,)), now=NOW)
    with pytest.raises(Refused, match="No plan is in force"):
        end_plans(diary, person, TODAY, now=NOW)
    assert plans_of(diary, person) == ()


def test_rules_are_told_in_words() -> None:
    plan = read_plan(
        """
        [[tests]]
        at = "07:00"
        weekdays = ["Tue", "Thu"]
        [[tests]]
        at = "07:00"
        every = 3
        count = 5
        on = "school days"
        [[tests]]
        at = "07:00"
        dates = [2026-03-20]
        [[tests]]
        at = "07:00"
        rrule = "FREQ=MONTHLY;BYDAY=1FR"
        [[tests]]
        at = "07:00"
        until = 2026-04-01
        follows = "before_lunch"
        minutes = 120
        """,
        MONDAY,
    )

    assert [repeats_words(rule) for rule in plan.rules] == [
        "Tue, Thu",
        "every 3 days, 5 times, on school days",
        "on 2026-03-20",
        "by the rule FREQ=MONTHLY;BYDAY=1FR",
        "every day, until 2026-04-01",
    ]
    assert time_words(plan.rules[0]) == "07:00"
    assert time_words(plan.rules[4]) == "120 min after the usual time of before lunch, else 07:00"
