from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.domain.clock import Moment, Period, last_days, moment_at, offsets_of
from app.domain.glucose import Unit
from app.domain.marks import SLOTS, Mark
from app.domain.person import Person
from app.domain.reading import Standing
from app.review.pattern_words import (
    at_once_words,
    before_words,
    count_words,
    left_out_words,
    questions_words,
    sure_words,
    tell_words,
    what_words,
)
from app.review.patterns import Direction, Pattern, PatternsFound, patterns_of
from app.review.record import record_of
from app.statistics.patterns import Step
from app.store.diary import Diary
from app.work.note_days import note_days, tag_moment
from app.work.note_down import note_event, note_help
from app.work.people import add_person
from app.work.safety import set_low_line
from tests.households import NOW, corwin, new_diary, sample_of, tilde, written

ENDING = date(2026, 3, 12)
MONTH = last_days(30, ENDING)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def found_in(diary: Diary, person: Person, period: Period = MONTH) -> PatternsFound:
    return patterns_of(diary, record_of(diary, person), period, now=NOW)


def asked(found: PatternsFound, slot: Mark, direction: Direction) -> Pattern:
    (pattern,) = (
        each for each in found.patterns if (each.slot, each.direction) == (slot, direction)
    )
    return pattern


def moment(person: Person, at: str) -> Moment:
    wall = datetime.fromisoformat(at)
    return moment_at(wall, person.zone, offsets_of(wall, person.zone)[0])


def days_of(diary: Diary, person: Person, values: list[str], mark: Mark, clock: str) -> None:
    """One value a day, the last one on the last day."""
    for ago, value in enumerate(reversed(values)):
        written(diary, person, f"{ENDING - timedelta(days=ago)} {clock}", value, mark)


def test_three_lows_of_eight_bedtimes_repeat_and_say_how_sure_that_is(diary: Diary) -> None:
    person = tilde(diary)
    days_of(
        diary, person, ["6.0", "3.7", "7", "8", "3.8", "6.1", "7.2", "3.2"], Mark.BEDTIME, "21:00"
    )

    found = found_in(diary, person)
    pattern = asked(found, Mark.BEDTIME, "low")

    assert found.patterns[0] is pattern
    assert pattern.step is Step.REPEATING
    assert count_words(pattern) == "3 of 8 days"
    assert what_words(pattern, found.unit) == "lows, below 3.9 mmol/L"
    assert tell_words(pattern) == "repeats: at least 11 % of such days, with 95 % confidence"
    assert sure_words(pattern).startswith("share not shown: needs 14 readings")
    assert [each.glucose.value for each in pattern.hits] == ["3.7", "3.8", "3.2"]
    assert pattern.marks.x.tolist() == sorted(pattern.marks.x.tolist())
    assert (len(pattern.marks), int(pattern.marks.x[-1])) == (8, 29)


def test_highs_go_by_the_goal_of_their_mark_and_of_their_day(diary: Diary) -> None:
    person = tilde(diary, targets="ispad-2022")
    days_of(diary, person, ["8.1"] * 5, Mark.WAKING, "07:00")
    days_of(diary, person, ["8.1"] * 5, Mark.BEDTIME, "21:00")

    found = found_in(diary, person)
    waking, bedtime = asked(found, Mark.WAKING, "high"), asked(found, Mark.BEDTIME, "high")

    assert (waking.step, bedtime.step) == (Step.REPEATING, Step.NOT_SEEN)
    assert what_words(waking, found.unit) == "highs, above 8.0 mmol/L, the goal"
    assert waking.line.by_goal


def test_without_goals_highs_lie_above_the_usual_line(diary: Diary) -> None:
    person = corwin(diary)
    days_of(diary, person, ["180", "181", "HI"], Mark.WAKING, "07:00")

    pattern = asked(found_in(diary, person), Mark.WAKING, "high")

    assert (pattern.seen.count, pattern.step) == (2, Step.CANNOT_TELL)
    assert what_words(pattern, Unit.MG_DL) == "highs, above 180 mg/dL, no goal is set"
    assert (
        tell_words(pattern) == "tested too rarely here; 2 more tests on other days would tell more"
    )


def test_a_low_line_of_ones_own_is_what_lows_are_judged_by(diary: Diary) -> None:
    person = tilde(diary)
    days_of(diary, person, ["4.2", "4.3", "6.0", "4.2"], Mark.BEDTIME, "21:00")
    set_low_line(diary, person, "4.4", Unit.MMOL_L, from_day=date(2026, 3, 11), why=None, now=NOW)

    found = found_in(diary, person)
    pattern = asked(found, Mark.BEDTIME, "low")

    assert [each.wall.day for each in pattern.hits] == [12]
    assert what_words(pattern, found.unit) == (
        "lows, below 4.4 mmol/L; another line held earlier in the period"
    )


def test_doubtful_readings_and_days_apart_are_left_out_and_said(diary: Diary) -> None:
    person = tilde(diary)
    days_of(diary, person, ["3.5", "3.5", "6.0", "6.0", "3.6"], Mark.BEDTIME, "21:00")
    written(diary, person, "2026-03-06 21:00", "3.4", Mark.BEDTIME, hands="not")
    written(diary, person, "2026-03-05 21:00", "3.4", Mark.BEDTIME, standing=Standing.NOT_MINE)
    note_days(diary, person, "sick", date(2026, 3, 8), date(2026, 3, 9), text="influenza", now=NOW)
    note_days(diary, person, "holiday", date(2026, 3, 12), None, now=NOW)

    found = found_in(diary, person)
    pattern = asked(found, Mark.BEDTIME, "low")

    assert count_words(pattern) == "1 of 3 days"
    assert (found.in_doubt, found.on_days_apart) == (1, 2)
    assert left_out_words(found) == (
        "1 in doubt, left out here",
        "2 on days apart, left out here: influenza 8 – 9 Mar",
    )


def test_one_reading_far_below_is_listed_at_once_doubtful_or_set_aside(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 16:00", "2.9", hands="not")
    written(diary, person, "2026-03-10 16:20", "2.8")
    written(diary, person, "2026-03-11 12:00", "LO", standing=Standing.SET_ASIDE)
    written(diary, person, "2026-03-11 13:00", "2.0", standing=Standing.NOT_MINE)
    written(diary, person, "2026-03-11 14:00", "3.0")

    found = found_in(diary, person)

    assert [at_once_words(each, found.unit) for each in found.at_once] == [
        "LO, Wed 11 Mar 12:00, set aside",
        "2.8 mmol/L, Tue 10 Mar 16:20, recheck",
        "2.9 mmol/L, Tue 10 Mar 16:00, in doubt",
    ]
    assert [each.again for each in found.at_once] == [False, True, False]
    assert found.unmarked == 3


def test_a_recheck_far_below_stands_for_a_low_that_began_less_low(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 16:00", "3.5")
    written(diary, person, "2026-03-10 16:20", "2.8")
    written(diary, person, "2026-03-10 16:40", "2.7")

    found = found_in(diary, person)

    told = [(each.recheck, each.again) for each in found.at_once]
    assert told == [(True, True), (True, False)]


def test_help_that_was_needed_is_listed_at_once_whatever_the_number(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-10 16:00", "5.1")
    note_help(diary, person, moment(person, "2026-03-10 16:05"), now=NOW, with_reading=True)
    note_help(diary, person, moment(person, "2026-03-11 02:00"), now=NOW, what="juice given")

    found = found_in(diary, person)

    assert [at_once_words(each, found.unit) for each in found.at_once] == [
        "Wed 11 Mar 02:00, help was needed: juice given",
        "5.1 mmol/L, Tue 10 Mar 16:00, help was needed",
    ]


def test_what_went_before_is_counted_beside_the_other_tests_of_the_slot(diary: Diary) -> None:
    person = tilde(diary)
    days_of(diary, person, ["3.5", "7", "3.6", "7", "3.7", "7"], Mark.BEDTIME, "21:00")
    for day, tagged in ((7, True), (9, True), (8, True), (11, False)):
        at = moment(person, f"2026-03-{day:02} 16:30")
        until = moment(person, f"2026-03-{day:02} 17:30")
        note_event(diary, person, at, kind="exercise", text="pool", until=until, now=NOW)
        if tagged:
            tag_moment(diary, person, "swim", at, now=NOW)
    note_event(diary, person, moment(person, "2026-03-07 14:00"), kind="meal", now=NOW)

    found = found_in(diary, person)
    pattern = asked(found, Mark.BEDTIME, "low")

    assert pattern.before.hours == 6
    assert before_words(pattern) == ("before 2 of these 3: swim (before 1 of the other 3)",)
    assert {each.words: (each.count, each.others) for each in pattern.before.found} == {
        "swim": (2, 1),
        "pool": (1, 0),
    }


def test_before_a_high_a_low_in_the_hours_before_is_counted(diary: Diary) -> None:
    person = tilde(diary)
    days_of(diary, person, ["12.0", "12.0", "6.0"], Mark.BEDTIME, "21:00")
    for day in (10, 11):
        written(diary, person, f"2026-03-{day} 18:00", "3.1")

    pattern = asked(found_in(diary, person), Mark.BEDTIME, "high")

    assert before_words(pattern) == ("before 2 of these 2: a low (before 0 of the other 1)",)


def test_notes_of_earlier_readings_and_days_with_a_name_are_looked_at(diary: Diary) -> None:
    person = tilde(diary)
    days_of(diary, person, ["12.0", "12.0", "6.0"], Mark.WAKING, "07:00")
    written(diary, person, "2026-03-09 21:00", "9.0", Mark.BEDTIME, note="late cake")
    written(diary, person, "2026-03-10 20:30", "9.0", Mark.BEDTIME, note="late cake")
    note_days(diary, person, "exam", date(2026, 3, 10), date(2026, 3, 11), now=NOW)
    note_days(diary, person, "term", date(2026, 3, 1), None, now=NOW)

    pattern = asked(found_in(diary, person), Mark.WAKING, "high")

    assert pattern.before.hours == 12
    assert before_words(pattern) == (
        "before 2 of these 2: exam (before 0 of the other 1)",
        "before 2 of these 2: late cake (before 0 of the other 1)",
    )


def test_an_empty_period_puts_sixteen_questions_and_can_answer_none(diary: Diary) -> None:
    found = found_in(diary, tilde(diary), Period(date(2020, 1, 1), date(2020, 1, 7)))

    assert (found.n, found.questions, found.at_once) == (0, 16, ())
    assert {each.step for each in found.patterns} == {Step.CANNOT_TELL}
    assert {each.share.share for each in found.patterns} == {None}
    assert questions_words(found) == (
        "16 questions put (8 slots, lows and highs): some answers come up by chance"
    )


def test_the_invented_childs_april_is_as_it_was_worked_out(tmp_path: Path) -> None:
    # Worked from the household's description, 7 April to 6 May 2026 (30 days).
    with sample_of(tmp_path, "Tilde") as (diary, person):
        found = patterns_of(
            diary,
            record_of(diary, person),
            last_days(30, date(2026, 5, 6)),
            now=datetime(2026, 5, 6, 20, tzinfo=UTC),
        )

    again = [
        (each.slot.value, each.direction, each.seen.count, each.seen.n)
        for each in found.on_step(Step.SEEN_AGAIN)
    ]
    assert again == [
        ("before_lunch", "low", 3, 25),
        ("bedtime", "low", 3, 27),
        ("waking", "high", 8, 29),
        ("bedtime", "high", 7, 27),
    ]
    assert found.on_step(Step.REPEATING) == ()
    assert sure_words(asked(found, Mark.WAKING, "high")).endswith("95 % interval 15 to 46 %")
    assert [each.recheck for each in found.at_once].count(False) == 5


SLOT = st.sampled_from([Mark.WAKING, Mark.BEDTIME])
VALUES = st.lists(
    st.tuples(st.integers(0, 29), SLOT, st.integers(40, 260)), min_size=1, max_size=12
)


@settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(VALUES, st.integers())
def test_neither_the_order_of_writing_nor_the_unit_of_display_changes_a_verdict(
    tmp_path_factory: pytest.TempPathFactory, rows: list[tuple[int, Mark, int]], seed: int
) -> None:
    with new_diary(tmp_path_factory.mktemp("patterns")) as diary:
        own = corwin(diary, targets="ada-adults")
        other = add_person(
            diary, "Maude", unit="mmol/L", zone=own.zone, now=NOW, targets="ada-adults"
        )
        mixed = list(rows)
        for person in (own, other):
            Random(seed + person.id).shuffle(mixed)
            for ago, mark, value in mixed:
                clock = "07:00" if mark is Mark.WAKING else "21:00"
                at = f"{ENDING - timedelta(days=ago)} {clock}"
                written(diary, person, at, str(value), mark, unit=Unit.MG_DL)
        one, two = found_in(diary, own), found_in(diary, other)

    def verdicts(found: PatternsFound) -> list[tuple[Mark, str, object]]:
        return [(each.slot, each.direction, each.seen) for each in found.patterns]

    assert verdicts(one) == verdicts(two)
    assert len(one.at_once) == len(two.at_once)
    assert len(verdicts(one)) == 2 * len(SLOTS)
