"""Each planned test ends in one state, and one reading settles one test."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.schedule.expand import occurrences_of
from app.statistics.schedule.rule import Occurrence, Rule
from app.statistics.schedule.settle import DOUBLED, ELSEWHERE, SKIPPED, Settled, State, settle
from app.statistics.schedule.wake import next_wake_up

DAY = datetime.fromisoformat("2026-03-12")
ORDINAL = DAY.toordinal()
WAKING, BEFORE_LUNCH, NONE = 0, 2, 14


def at(clock: str) -> int:
    hour, minute = map(int, clock.split(":"))
    return int((DAY + timedelta(hours=hour, minutes=minute)).replace(tzinfo=UTC).timestamp())


def rule(clock: str, key: int = 1, **more: object) -> Rule:
    hour, minute = map(int, clock.split(":"))
    return Rule(key, DAY.replace(hour=hour, minute=minute), **more)  # type: ignore[arg-type]


def planned(*rules: Rule, days: int = 0) -> tuple[Occurrence, ...]:
    return occurrences_of(rules, ORDINAL, ORDINAL + days, places=[(0, UTC)])


def settled(
    rules: Sequence[Rule], *readings: str, marks: Sequence[int] | None = None, now: str = "23:59"
) -> tuple[Settled, ...]:
    codes = [NONE] * len(readings) if marks is None else marks
    return settle(planned(*rules), [at(each) for each in readings], codes, now=at(now))


def test_a_reading_goes_to_the_nearest_test_and_at_the_same_distance_to_the_earlier() -> None:
    two = [rule("07:00", 1), rule("08:00", 2)]

    assert [each.reading for each in settled(two, "07:50")] == [None, 0]
    assert [each.reading for each in settled(two, "07:30")] == [0, None]
    assert [each.reading for each in settled(two, "07:10", "07:20")] == [0, 1]


def test_one_reading_settles_one_test() -> None:
    found = settled([rule("07:00", 1), rule("07:30", 2)], "07:20")

    assert [each.state for each in found] == [State.MISSED, State.DONE]


@pytest.mark.parametrize(
    ("clock", "state", "late"),
    [
        ("05:59", State.MISSED, None),
        ("06:00", State.DONE, -60),
        ("07:00", State.DONE, 0),
        ("08:00", State.DONE, 60),
        ("08:01", State.DONE_LATE, 61),
        ("10:00", State.DONE_LATE, 180),
        ("10:01", State.MISSED, None),
    ],
)
def test_both_ends_of_the_tolerance_belong_to_it(
    clock: str, state: State, late: int | None
) -> None:
    (found,) = settled([rule("07:00")], clock)

    assert (found.state, found.late) == (state, late)


def test_a_test_two_hours_after_a_meal_can_be_late_until_four_hours_after_it() -> None:
    narrow = rule("14:00", before_min=30, after_min=30)

    assert settled([narrow], "16:00")[0].state is State.DONE_LATE
    assert settled([narrow], "16:01")[0].state is State.MISSED


def test_the_mark_agrees_or_there_is_none() -> None:
    waking = rule("07:00", agrees=frozenset({WAKING, NONE}))

    assert settled([waking], "07:10", marks=[WAKING])[0].reading == 0
    assert settled([waking], "07:10", marks=[NONE])[0].reading == 0
    assert settled([waking], "07:10", marks=[BEFORE_LUNCH])[0].state is State.MISSED


def test_a_reading_in_time_for_one_test_is_not_a_late_one_of_another() -> None:
    found = settled([rule("07:00", 1), rule("09:00", 2)], "08:40")

    assert [each.state for each in found] == [State.MISSED, State.DONE]


@pytest.mark.parametrize(
    ("now", "state", "overdue"),
    [
        ("06:59", State.UPCOMING, False),
        ("07:00", State.DUE, False),
        ("08:00", State.DUE, False),
        ("08:01", State.DUE, True),
        ("10:00", State.DUE, True),
        ("10:01", State.MISSED, False),
    ],
)
def test_what_is_not_written_is_to_come_then_due_then_overdue_then_missed(
    now: str, state: State, overdue: bool
) -> None:
    (found,) = settled([rule("07:00")], now=now)

    assert (found.state, found.is_overdue) == (state, overdue)


def test_a_test_that_was_put_aside_is_not_expected_and_leaves_its_reading_to_others() -> None:
    aside = rule("07:00", 1, skipped=frozenset({DAY.replace(hour=7)}))

    found = settled([aside, rule("07:30", 2)], "07:05")

    assert [(each.state, each.why, each.reading) for each in found] == [
        (State.NOT_EXPECTED, SKIPPED, None),
        (State.DONE, None, 0),
    ]


def test_a_test_done_elsewhere_is_done_without_a_reading() -> None:
    (found,) = settled([rule("07:00", elsewhere=frozenset({DAY.replace(hour=7)}))])

    assert (found.state, found.why, found.reading) == (State.DONE, ELSEWHERE, None)


def test_of_two_plans_that_ask_the_same_of_a_day_only_the_newer_is_asked() -> None:
    old = rule("07:00", 1, group=1, rank=10, label=WAKING)
    new = rule("07:15", 2, group=2, rank=20, label=WAKING)

    found = settled([old, new], "07:05")

    assert [(each.state, each.why) for each in found] == [
        (State.NOT_EXPECTED, DOUBLED),
        (State.DONE, None),
    ]


def test_two_tests_of_one_plan_with_one_mark_are_both_asked() -> None:
    two = [rule(each, n, group=1, label=WAKING) for n, each in enumerate(("06:00", "09:00"))]

    assert [each.state for each in settled(two, "06:05", "09:05")] == [State.DONE, State.DONE]


def test_the_days_on_which_nothing_is_expected_come_from_outside() -> None:
    found = settle(planned(rule("07:00")), [], [], now=at("12:00"), not_expected=lambda _: "sick")

    assert [(each.state, each.why) for each in found] == [(State.NOT_EXPECTED, "sick")]


def test_marks_and_instants_belong_together() -> None:
    with pytest.raises(ValueError, match="as many marks"):
        settle(planned(rule("07:00")), [at("07:00")], [], now=at("12:00"))


def test_the_next_wake_up_is_the_next_change_by_time_alone() -> None:
    held = [rule("07:00", 1), rule("12:00", 2)]

    for now, expected in (
        ("06:00", "07:00"),
        ("07:00", "08:01"),
        ("09:00", "10:01"),
        ("11:00", "12:00"),
    ):
        found = next_wake_up(settled(held, now=now), now=at(now))
        assert found is not None
        # One second after the tolerance is over, which is a whole minute: look at the minute.
        assert found in (at(expected), at(expected) - 59)
    assert next_wake_up(settled(held, "07:00", "12:00"), now=at("12:30")) is None


MINUTES = st.integers(0, 3 * 1440 - 1)
RULES = st.lists(
    st.builds(
        lambda minute, before, after, label, group: Rule(
            minute * 100 + group,
            DAY + timedelta(minutes=minute % 1440),
            "FREQ=DAILY",
            label=label,
            group=group,
            rank=group,
            agrees=None if label is None else frozenset({label, NONE}),
            before_min=before,
            after_min=after,
        ),
        MINUTES,
        st.integers(0, 120),
        st.integers(0, 120),
        st.sampled_from([None, WAKING, BEFORE_LUNCH]),
        st.integers(1, 3),
    ),
    max_size=6,
)
READINGS = st.lists(
    st.tuples(MINUTES, st.sampled_from([WAKING, BEFORE_LUNCH, NONE, 7])), max_size=14
)


@given(RULES, READINGS, st.integers(-60, 4 * 1440))
def test_every_planned_test_ends_in_one_state_and_every_reading_settles_at_most_one(
    rules: list[Rule], readings: list[tuple[int, int]], now: int
) -> None:
    tests = planned(*rules, days=2)
    readings = sorted(readings)
    instants = [at("00:00") + 60 * minute for minute, _ in readings]
    marks = [mark for _, mark in readings]

    found = settle(tests, instants, marks, now=at("00:00") + 60 * now)

    assert [each.occurrence for each in found] == list(tests)
    used = [each.reading for each in found if each.reading is not None]
    assert len(used) == len(set(used))
    for each in found:
        planned_one, done = each.occurrence, each.state in (State.DONE, State.DONE_LATE)
        assert (each.reading is not None) is done
        assert (each.why is not None) is (each.state is State.NOT_EXPECTED)
        if each.reading is not None:
            agrees = planned_one.rule.agrees
            assert agrees is None or marks[each.reading] in agrees
            in_time = planned_one.opens <= instants[each.reading] <= planned_one.closes
            assert in_time is (each.state is State.DONE)
            assert instants[each.reading] <= planned_one.late_until


@given(RULES, READINGS)
def test_no_free_reading_fits_a_test_that_stayed_open(
    rules: list[Rule], readings: list[tuple[int, int]]
) -> None:
    tests = planned(*rules, days=2)
    readings = sorted(readings)
    instants = [at("00:00") + 60 * minute for minute, _ in readings]

    found = settle(tests, instants, [mark for _, mark in readings], now=at("00:00"))

    used = {each.reading for each in found}
    for each in found:
        if each.state in (State.DONE, State.DONE_LATE, State.NOT_EXPECTED):
            continue
        one = each.occurrence
        for place, (_, mark) in enumerate(readings):
            if place not in used and (one.rule.agrees is None or mark in one.rule.agrees):
                assert not one.opens <= instants[place] <= one.late_until


@given(RULES, READINGS, st.integers(0, 3 * 1440))
def test_a_wake_up_is_missed_by_no_change(
    rules: list[Rule], readings: list[tuple[int, int]], minute: int
) -> None:
    tests = planned(*rules, days=2)
    readings = sorted(readings)
    instants = [at("00:00") + 60 * each for each, _ in readings]
    marks = [mark for _, mark in readings]
    now = at("00:00") + 60 * minute

    def states(when: int) -> list[tuple[State, bool]]:
        return [(e.state, e.is_overdue) for e in settle(tests, instants, marks, now=when)]

    wake = next_wake_up(settle(tests, instants, marks, now=now), now=now)

    last = max((each.late_until for each in tests), default=now) + 2
    assert states(now) == states((wake or max(last, now)) - 1)
    if wake is not None:
        assert states(wake) != states(wake - 1)
