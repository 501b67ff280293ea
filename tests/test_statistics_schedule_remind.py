from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.statistics.schedule.remind import TICK_SECONDS, Clocks, Due, Look, Memory, look, never

DAY, HOUR, MIN = 86_400, 3600, 60
T = 1_000 * DAY


def due(key: str, at: int, *, until: int | None = None, rule: str = "r", **more: object) -> Due:
    ends = at + HOUR if until is None else until
    made = Due(key=key, rule=rule, day=at // DAY, at=at, over=at + 10 * MIN, until=ends)
    return replace(made, **more)  # type: ignore[arg-type]


def always(_instant: int) -> bool:
    return True


def said(found: Look) -> list[tuple[str, bool]]:
    return [(each.due.key, each.was_due) for each in found.say]


def test_a_reminder_is_said_at_its_time_and_not_again() -> None:
    items = [due("a", T + 50)]

    before = look(items, Clocks(T, 0.0))
    at = look(items, Clocks(T + 50, 50.0), before.memory)
    after = look(items, Clocks(T + 80, 80.0), at.memory)

    assert (said(before), said(at), said(after)) == ([], [("a", False)], [])
    assert (before.wake_up, before.wait_s) == (T + 50, TICK_SECONDS)
    assert [each.key for each in after.due] == ["a"]


def test_the_next_look_is_never_further_than_a_tick() -> None:
    assert look([], Clocks(T, 0.0)).wait_s == TICK_SECONDS
    assert look([due("a", T + 7)], Clocks(T, 0.0)).wait_s == 7
    assert look([due("a", T + DAY)], Clocks(T, 0.0)).wait_s == TICK_SECONDS


def test_after_a_sleep_what_is_still_asked_for_says_when_it_was_due() -> None:
    # The running clock went on a minute, the wall clock eight hours.
    items = [due("over", T + HOUR), due("open", T + 8 * HOUR - 20 * MIN)]
    asleep = look(items, Clocks(T, 0.0))

    awake = look(items, Clocks(T + 8 * HOUR, 60.0), asleep.memory)
    again = look(items, Clocks(T + 8 * HOUR + 30, 90.0), awake.memory)

    assert awake.jumped
    assert said(awake) == [("open", True)]
    assert [(each.rule, each.keys, each.at) for each in awake.missed] == [
        ("r", ("over",), (T + HOUR,))
    ]
    assert awake.overdue == {"open"}
    assert (said(again), again.missed, again.jumped) == ([], (), False)


@pytest.mark.parametrize("closed_hours", [0, 5, 40 * 24])
def test_at_the_start_there_is_one_line_for_each_rule_and_day(closed_hours: int) -> None:
    now = T + 20 * HOUR
    items = [
        due(f"{rule} {back}", now - back * HOUR, rule=rule, until=now - back * HOUR + 30 * MIN)
        for rule in ("waking", "recheck")
        for back in range(2, closed_hours + 1, 2)
    ]

    found = look(items, Clocks(now, 0.0))

    lines = [(each.rule, each.day) for each in found.missed]
    assert len(lines) == len(set(lines))
    assert said(found) == []
    assert all(at >= now - DAY for each in found.missed for at in each.at)
    assert len(lines) == {0: 0, 5: 2, 960: 4}[closed_hours]


def test_a_recheck_of_the_night_is_told_as_past() -> None:
    recheck = due("low-recheck/1", T + 15 * MIN, rule="low_recheck", until=T + HOUR, timer=True)

    found = look([recheck], Clocks(T + 4 * HOUR, 0.0))

    assert said(found) == []
    assert found.due == ()
    assert found.missed[0].at == (T + 15 * MIN,)


def test_quiet_hours_hold_back_what_does_not_pierce_them_and_list_it_all() -> None:
    items = [due("plan", T, until=T + 9 * HOUR), due("low", T, until=T + HOUR, pierces=True)]

    quiet = look(items, Clocks(T, 0.0), is_quiet=lambda _: True)
    morning = look(items, Clocks(T + 8 * HOUR, 8.0 * HOUR), quiet.memory)

    assert said(quiet) == [("low", False)]
    assert {each.key for each in quiet.due} == {"plan", "low"}
    assert said(morning) == [("plan", True)]


def test_what_was_shown_before_the_program_began_is_not_said_again() -> None:
    shown = due("a", T, shown=True)
    gone = due("b", T - 2 * HOUR, until=T - HOUR, shown=True)

    found = look([shown, gone], Clocks(T + 60, 0.0))

    assert (said(found), found.missed) == ([], ())
    assert [each.key for each in found.due] == ["a"]


def test_a_snooze_is_said_once_more_by_either_clock() -> None:
    snoozed = due("a", T, until=T + DAY, shown=False, snoozed_to=T + 10 * MIN)
    first = look([snoozed], Clocks(T + 60, 0.0))

    # The wall clock was set back an hour meanwhile; ten minutes are ten minutes.
    by_running = look([snoozed], Clocks(T + 9 * MIN - HOUR, 9.0 * MIN), first.memory)
    again = look([snoozed], Clocks(T + 10 * MIN, 10.0 * MIN + HOUR), by_running.memory)

    assert (said(first), said(by_running), said(again)) == ([], [("a", False)], [])


def test_a_recheck_comes_by_the_running_clock_when_the_wall_clock_was_set_back() -> None:
    recheck = due("low-recheck/1", T + 15 * MIN, timer=True)
    first = look([recheck], Clocks(T, 0.0))

    early = look([recheck], Clocks(T - HOUR + 14 * MIN, 14.0 * MIN), first.memory)
    ready = look([recheck], Clocks(T - HOUR + 15 * MIN, 15.0 * MIN), early.memory)
    corrected = look([recheck], Clocks(T + 16 * MIN, 16.0 * MIN), ready.memory)

    assert (said(early), said(ready), said(corrected)) == ([], [("low-recheck/1", False)], [])


def test_what_was_told_as_missed_by_a_clock_set_forward_still_comes_at_its_time() -> None:
    item = due("a", T + HOUR)
    wrong = look([item], Clocks(T + DAY, 0.0))

    back = look([replace(item, shown=True)], Clocks(T, 30.0), wrong.memory)
    at = look([replace(item, shown=True)], Clocks(T + HOUR, 30.0 + HOUR), back.memory)

    assert [each.keys for each in wrong.missed] == [("a",)]
    assert (said(back), said(at)) == ([], [("a", False)])


def test_what_is_closed_is_neither_said_nor_listed() -> None:
    found = look([due("a", T, closed=True)], Clocks(T + 60, 0.0))

    assert (said(found), found.due, found.missed) == ([], (), ())


@given(
    st.lists(st.tuples(st.integers(0, 2 * DAY), st.booleans(), st.booleans()), max_size=6),
    st.lists(
        st.tuples(st.integers(-2 * DAY, 2 * DAY), st.integers(0, HOUR), st.booleans()),
        max_size=40,
    ),
)
def test_shifting_the_clock_never_says_the_same_reminder_twice(
    items: list[tuple[int, bool, bool]], steps: list[tuple[int, int, bool]]
) -> None:
    dues = [
        due(f"{place}", T + at, timer=timer, pierces=pierces)
        for place, (at, timer, pierces) in enumerate(items)
    ]
    memory, wall, running = Memory(), T, 0.0
    told: Counter[str] = Counter()
    missed: Counter[str] = Counter()

    for shift, passed, quiet in steps:
        wall, running = wall + passed + shift, running + passed
        found = look(dues, Clocks(wall, running), memory, is_quiet=always if quiet else never)
        memory = found.memory
        told.update(each.due.key for each in found.say)
        missed.update(key for line in found.missed for key in line.keys)
        assert 0 < found.wait_s <= TICK_SECONDS
        assert found.wake_up is None or found.wake_up > wall

    assert all(count == 1 for count in told.values())
    assert all(count == 1 for count in missed.values())


@given(st.lists(st.integers(1, TICK_SECONDS), min_size=1, max_size=60), st.integers(1, 20 * MIN))
def test_with_clocks_that_agree_a_reminder_comes_within_a_tick_of_its_time(
    ticks: list[int], at: int
) -> None:
    item, memory, wall = due("a", T + at, until=T + 2 * DAY), Memory(), T
    for step in ticks:
        wall += step
        found = look([item], Clocks(wall, float(wall - T)), memory)
        memory = found.memory
        assert said(found) in ([], [("a", False)])
        assert (wall >= item.at) == (item in found.due)
        if said(found):
            assert wall - item.at < TICK_SECONDS
