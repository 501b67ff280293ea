"""What the Patterns page is given: rows in full on one scale, own words, questions asked before."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.clock import last_days
from app.domain.marks import SLOTS, Mark
from app.domain.person import Person
from app.domain.question import Kind, Outcome, Question, question_of
from app.review.asked_before import asked_so_far
from app.review.asking import Answer
from app.review.compare import Compared, names_there
from app.review.days_named import words_for_days
from app.review.patterns_shown import patterns_shown
from app.review.record import record_of
from app.statistics.patterns import Step
from app.store.diary import Diary
from app.store.questions import questions_with_times
from app.work.ask import keep_question
from tests.households import NOW, new_diary, sample_of, tilde, written

ENDING = date(2026, 3, 12)
MONTH = last_days(30, ENDING)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def person(diary: Diary) -> Person:
    return tilde(diary, targets="ispad-2022")


def a_question(*what: str, kind: Kind = Kind.DAYS, outcome: Outcome | None = None) -> Question:
    ends = MONTH.first.toordinal(), MONTH.last.toordinal()
    return Question(kind, what, None, outcome, *ends)


def lows_before_lunch(diary: Diary, person: Person) -> None:
    for ago in range(8):
        at = ENDING - timedelta(days=ago)
        tags = ("swim",) if ago % 2 else ()
        value = "3.1" if ago % 2 else "6.6"
        written(diary, person, f"{at} 12:00", value, Mark.BEFORE_LUNCH, tags=tags)


def test_rows_in_full_stand_on_one_scale_that_holds_all_of_them(
    diary: Diary, person: Person
) -> None:
    lows_before_lunch(diary, person)
    for ago in range(6):
        at = ENDING - timedelta(days=ago)
        written(diary, person, f"{at} 22:00", f"{17 + ago}.0", Mark.BEDTIME)

    found = patterns_shown(diary, record_of(diary, person), MONTH, now=NOW)

    told = [(row.pattern.slot, row.pattern.direction, row.pattern.step) for row in found.rows]
    assert told == [
        (Mark.BEFORE_LUNCH, "low", Step.REPEATING),
        (Mark.BEDTIME, "high", Step.REPEATING),
    ]
    assert all(row.low == 3.9 and row.high is not None for row in found.rows)
    assert found.scale.low < 3.1
    assert found.scale.high > 22.0
    assert found.tests.period == last_days(90, ENDING)


def test_an_empty_period_has_no_rows_and_still_a_scale(diary: Diary, person: Person) -> None:
    found = patterns_shown(diary, record_of(diary, person), MONTH, now=NOW)

    assert (found.found.n, found.rows, found.last_day) == (0, (), None)
    assert found.scale.low < found.scale.high


def test_own_words_are_those_that_pick_out_days(diary: Diary, person: Person) -> None:
    lows_before_lunch(diary, person)

    words = words_for_days(diary, person, MONTH)

    assert [(each.by, each.word, each.days) for each in words] == [("tag", "swim", 4)]


def test_the_sample_offers_tags_before_events_and_names(tmp_path: Path) -> None:
    with sample_of(tmp_path, "Tilde") as (diary, person):
        words = words_for_days(diary, person, last_days(365, date(2026, 8, 31)))

    ways = [each.by for each in words]
    assert ways == sorted(ways, key=("tag", "event", "name").index)
    assert len({each.word.casefold() for each in words}) == len(words)
    assert ("tag", "swim") in [(each.by, each.word) for each in words]


def test_meters_with_readings_come_with_the_most_used_first(tmp_path: Path) -> None:
    with sample_of(tmp_path, "Tilde") as (diary, person):
        record = record_of(diary, person)
        year, later = last_days(365, date(2026, 8, 31)), NOW.replace(year=2027)
        names = names_there(diary, record, Kind.METERS, year, now=later)

    assert names[0] == "blue"
    assert set(names) == {"blue", "grey", "spare"}


@given(
    st.builds(
        Question,
        st.sampled_from(Kind),
        st.lists(st.text(min_size=1).map(str.split).map(" ".join), max_size=2).map(tuple),
        st.none() | st.sampled_from(SLOTS),
        st.none() | st.sampled_from(Outcome),
        st.integers(1, 800_000),
        st.integers(1, 800_000),
        st.booleans(),
    )
)
def test_a_question_comes_back_from_its_text_as_the_same_question(question: Question) -> None:
    assert question_of(question.spec).spec == question.spec


@pytest.mark.parametrize("spec", ["{}", "[]", "1", "", '{"kind": "moon"}'])
def test_what_is_no_question_is_refused(spec: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        question_of(spec)


def test_questions_are_answered_again_the_newest_first(diary: Diary, person: Person) -> None:
    lows_before_lunch(diary, person)
    asked = (
        a_question("swim", outcome=Outcome.LOW),
        a_question(kind=Kind.WEEKDAYS),
        a_question("judo", outcome=Outcome.LOW),
    )
    for at, each in enumerate(asked):
        keep_question(diary, person, each, now=NOW + timedelta(days=at))
    keep_question(diary, person, asked[0], now=NOW + timedelta(days=9))

    found = asked_so_far(diary, record_of(diary, person), now=NOW)

    assert found.count == 3
    assert [each.on for each in found.newest] == [date(2026, 3, day) for day in (14, 13, 12)]
    judo, weekdays, swim = found.newest
    assert judo.found is None
    assert "“judo”" in judo.why
    assert isinstance(weekdays.found, Compared)
    assert isinstance(swim.found, Answer)
    assert swim.found.asked.tested == 4


def test_only_so_many_are_answered_and_all_are_counted(diary: Diary, person: Person) -> None:
    for word in ("a", "b", "c"):
        keep_question(diary, person, a_question(word, outcome=Outcome.HIGH), now=NOW)

    found = asked_so_far(diary, record_of(diary, person), now=NOW, at_most=1)

    assert (found.count, len(found.newest)) == (3, 1)
    assert len(questions_with_times(diary, person)) == 3
