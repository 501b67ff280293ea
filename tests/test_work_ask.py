"""Questions are kept, counted once each, taken back, put into the bin with their person."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.question import Kind, Outcome, Question
from app.store.diary import Diary
from app.store.diary_file import open_diary
from app.store.people import persons
from app.store.questions import questions_asked
from app.store.state_hash import state_hash
from app.work.ask import keep_question
from app.work.bin import remove_person
from app.work.take_back import redo_last, undo_last
from tests.households import INSTALLATION, NOW, corwin, new_diary, tilde

SWIM = Question(Kind.DAYS, ("swim",), Mark.NIGHT, Outcome.LOW, 739495, 739859)
WEEKDAYS = Question(Kind.WEEKDAYS, (), None, None, 739495, 739859)


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def person(diary: Diary) -> Person:
    return tilde(diary)


def test_each_different_question_counts_once(diary: Diary, person: Person) -> None:
    counts = [keep_question(diary, person, each, now=NOW) for each in (SWIM, SWIM, WEEKDAYS)]

    assert counts == [1, 1, 2]
    assert questions_asked(diary, person) == (SWIM.spec, WEEKDAYS.spec)


@pytest.mark.parametrize(
    "other",
    [
        replace(SWIM, slot=Mark.BEDTIME),
        replace(SWIM, slot=None),
        replace(SWIM, outcome=Outcome.MEAN),
        replace(SWIM, last_day=739860),
        replace(SWIM, same_weekdays=True),
        replace(SWIM, what=("judo",)),
    ],
)
def test_another_slot_outcome_or_period_is_another_question(
    diary: Diary, person: Person, other: Question
) -> None:
    keep_question(diary, person, SWIM, now=NOW)

    assert keep_question(diary, person, other, now=NOW) == 2


def test_everybody_has_their_own_questions(diary: Diary, person: Person) -> None:
    keep_question(diary, person, SWIM, now=NOW)

    assert keep_question(diary, corwin(diary), WEEKDAYS, now=NOW) == 1


def test_a_question_can_be_taken_back_and_asked_again(diary: Diary, person: Person) -> None:
    before = state_hash(diary)
    keep_question(diary, person, SWIM, now=NOW)
    asked = state_hash(diary)

    taken_back = undo_last(diary, person, now=NOW)

    assert "swim, night, low" in taken_back.sentence
    assert questions_asked(diary, person) == ()
    assert state_hash(diary) == before != asked
    redo_last(diary, person, now=NOW)
    assert state_hash(diary) == asked


def test_questions_go_into_the_bin_with_their_person(diary: Diary, person: Person) -> None:
    keep_question(diary, person, SWIM, now=NOW)

    remove_person(diary, person, name_again="Tilde", now=NOW)

    assert questions_asked(diary, person) == ()
    undo_last(diary, None, now=NOW)
    assert questions_asked(diary, person) == (SWIM.spec,)


def test_a_diary_that_can_only_be_read_answers_and_keeps_nothing(
    diary: Diary, person: Person
) -> None:
    keep_question(diary, person, WEEKDAYS, now=NOW)
    diary.writable = False

    assert keep_question(diary, person, SWIM, now=NOW) == 2
    assert questions_asked(diary, person) == (WEEKDAYS.spec,)


def test_what_was_asked_is_there_when_the_diary_is_opened_again(
    diary: Diary, person: Person
) -> None:
    keep_question(diary, person, SWIM, now=NOW)
    diary.close()

    with open_diary(diary.path, INSTALLATION) as again:
        assert questions_asked(again, persons(again)[0]) == (SWIM.spec,)


@pytest.mark.parametrize(
    ("question", "says"),
    [
        (SWIM, "swim, night, low"),
        (WEEKDAYS, "weekdays and weekends"),
        (replace(WEEKDAYS, kind=Kind.METERS, what=("blue", "spare")), "meters: blue and spare"),
    ],
)
def test_a_question_is_told_in_a_few_words(question: Question, says: str) -> None:
    assert question.words == says
