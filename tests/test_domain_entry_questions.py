from __future__ import annotations

import pytest

from app.domain.entry import read_entry, with_answer
from app.domain.glucose import Bound, Unit
from app.domain.marks import Mark
from tests.entry_lines import context, kinds, mg, mmol

ODD_IN_MMOL = [
    ("56", ("56 mg/dL", "5.6 mmol/L", "--sure")),
    ("112", ("112 mg/dL", "11.2 mmol/L", "--sure")),
    ("250", ("250 mg/dL", "25.0 mmol/L")),
    ("600", ("600 mg/dL",)),
    ("0.9", ("--sure",)),
    ("1,0", ("--sure",)),
    ("33.4", ("33.4 mg/dL", "--sure")),
    ("40.0 mmol/L", ("40.0 mg/dL", "--sure")),
    ("5.6 mg/dL", ("5.6 mmol/L", "--sure")),
    ("<20", ("<20 mg/dL", "--sure")),
    (">600", (">600 mg/dL",)),
]
ODD_IN_MG = [
    ("8.2", ("8.2 mmol/L", "--sure")),
    ("5,6", ("5.6 mmol/L", "--sure")),
    ("25.5", ("25.5 mmol/L", "--sure")),
    ("15", ("15 mmol/L", "--sure")),
    ("650", ("--sure",)),
    ("601", ("--sure",)),
    ("112 mmol/L", ("112 mg/dL", "11.2 mmol/L", "--sure")),
    (">33.3", (">33.3 mmol/L", "--sure")),
    ("<1.1", ("<1.1 mmol/L", "--sure")),
]
TAKEN_IN_MG = ["20", "25", "112", "600", "112.5", "5.6 mmol/L", "25.5 mg/dL", "<20", ">600", "LO"]
REFUSED = [
    "", " \t ", "nan", "inf", "NaN mmol/L", "1e400", "1_0", "-3", "+5", "- 3", "−3", "~7", ".5",
    "5.6.7", "1,234.5", "1.234,5", "5²", "7.2x", "½", "0", "0.0", "0 mmol/L", "3000 mg/dL",
    "166.6 mmol/L", "99999", "9999999999999", "before lunch", "hello", "0650", "06.50",
    "juice 200 ml", "45 g", "50%", "2 h", "7/2", "7:2", "7.2 -3", "7.2 1e400",
]  # fmt: skip
WHICH_IN_MMOL = [
    ("5.6 7.2", ('5.6 "7.2"', '"5.6" 7.2')),
    ("7.2 18", ('7.2 "18"', '"7.2" 18', "7.2 18:00")),
    ("7.20 18.20", ("7.20 18:20", "07:20 18.20")),
    ("7.2 2 biscuits", ('7.2 "2" biscuits', '"7.2" 2 biscuits')),
    ("7.2 recheck 3.4", ('7.2 recheck "3.4"', '"7.2" recheck 3.4')),
    ("7.2 units 4", ('7.2 "units" "4"', '"7.2" units 4')),
    ("7.2 06:50 650", ('7.2 06:50 "650"', '"7.2" 06:50 650')),
    ("500mg metformin 7.2", ('500mg metformin "7.2"', '"500mg" metformin 7.2')),
    (
        "5.6 mmol/L 101 mg/dL",
        ('5.6 mmol/L "101 mg/dL"', '"5.6 mmol/L" 101 mg/dL'),
    ),
    ("over 30 people 7.2", ('over 30 people "7.2"', '"over 30" people 7.2')),
    ("HI 600", ('HI "600"', '"HI" 600', "HI >600", "HI 06:00")),
    ("hi 7.2", ('hi "7.2"', '"hi" 7.2')),
    ("feeling low", ("feeling LO",)),
    ("low shaky", ("LO shaky",)),
    ("hi there", ("HI there",)),
]
WHICH_OF_TWO = [
    ("7.2 before lunch after lunch", "mark"),
    ("7.2 fasting before lunch", "mark"),
    ("7.2 left index right thumb", "site"),
    ("7.2 washed unwashed", "hands"),
    ("7.2 6:50 juice at 7:15", "which_time"),
    ("7.2 yesterday today 06:00", "which_day"),
]


@pytest.mark.parametrize(("typed", "answers"), ODD_IN_MMOL)
def test_unlikely_value_is_asked_about_in_mmol(typed: str, answers: tuple[str, ...]) -> None:
    entry = mmol(typed)

    assert [question.answers for question in entry.questions] == [answers]
    assert not entry.problems


@pytest.mark.parametrize(("typed", "answers"), ODD_IN_MG)
def test_unlikely_value_is_asked_about_in_mg(typed: str, answers: tuple[str, ...]) -> None:
    entry = mg(typed)

    assert [question.answers for question in entry.questions] == [answers]
    assert not entry.problems


@pytest.mark.parametrize("typed", TAKEN_IN_MG)
def test_possible_value_is_taken_at_once_in_mg(typed: str) -> None:
    assert mg(typed).is_ready


def test_an_odd_value_is_never_altered() -> None:
    asked, kept = mmol("56"), mmol("56", sure=True)

    assert asked.glucose == kept.glucose
    assert kept.glucose is not None
    assert (kept.glucose.value, kept.glucose.unit) == ("56", Unit.MMOL_L)
    assert kept.is_ready


def test_sure_in_the_line_is_sure() -> None:
    assert mmol("56 --sure before lunch").is_ready


def test_sure_does_not_make_an_impossible_value_possible() -> None:
    assert mmol("250", sure=True).problems
    assert mg("3000", sure=True).problems


@pytest.mark.parametrize("typed", REFUSED)
def test_what_is_no_reading_is_refused_in_a_sentence(typed: str) -> None:
    entry = mmol(typed, sure=True)

    assert entry.problems
    assert all(problem.endswith((".", '".')) for problem in entry.problems)


@pytest.mark.parametrize("typed", ["3000", "3000.0", "9999", "12345"])
def test_three_thousand_and_more_is_refused_in_mg(typed: str) -> None:
    assert mg(typed).problems


@pytest.mark.parametrize(("typed", "answers"), WHICH_IN_MMOL)
def test_two_possible_readings_are_asked_about(typed: str, answers: tuple[str, ...]) -> None:
    entry = mmol(typed)

    assert entry.glucose is None
    assert kinds(entry) == ["reading"]
    assert entry.questions[0].answers == answers


@pytest.mark.parametrize(("typed", "kind"), WHICH_OF_TWO)
def test_two_different_answers_to_one_thing_are_asked_about(typed: str, kind: str) -> None:
    entry = mmol(typed)

    assert kinds(entry) == [kind]
    for answer in entry.questions[0].answers:
        assert kind not in kinds(mmol(answer))


@pytest.mark.parametrize("typed", ["112 145", "112 545", "145 112"])
def test_a_number_that_is_value_and_time_alike_is_asked_about(typed: str) -> None:
    first, second = typed.split()

    entry = mg(typed)

    assert kinds(entry) == ["reading"]
    assert set(entry.questions[0].answers) == {
        f"{first} 0{second[0]}:{second[1:]}",
        f"0{first[0]}:{first[1:]} {second}",
    }


@pytest.mark.parametrize(
    ("typed", "value", "time"),
    [
        ("112 650", "112", "06:50"),
        ("650 112", "112", "06:50"),
        ("112 1820", "112", "18:20"),
        ("112 0145", "112", "01:45"),
        ("182 545", "182", "05:45"),
        ("112 mg/dL 145", "112", "01:45"),
        ("112 at 145", "112", "01:45"),
        ("112 18.20", "112", "18:20"),
        ("250 shaky 545", "250", "21:00"),
    ],
)
def test_a_second_number_is_a_time_where_that_is_the_only_way(
    typed: str, value: str, time: str
) -> None:
    entry = mg(typed)

    assert entry.glucose is not None
    assert entry.moment is not None
    assert (entry.glucose.value, entry.moment.wall[11:]) == (value, time)


@pytest.mark.parametrize(
    "typed", [line for line, _ in [*ODD_IN_MMOL, *WHICH_IN_MMOL]] + ["56 22:10; x", "7.2 22:10"]
)
def test_each_answer_put_into_the_line_answers_its_question(typed: str) -> None:
    entry = mmol(typed)

    for question in entry.questions:
        for answer in question.answers:
            again = mmol(with_answer(typed, entry, question, answer))
            assert question.kind not in kinds(again), answer
            assert again.glucose is not None, answer


def test_answer_keeps_the_rest_of_the_line() -> None:
    typed = "56 before lunch left index, shaky"
    entry = mmol(typed)

    again = mmol(with_answer(typed, entry, entry.questions[0], "56 mg/dL"))

    assert again.is_ready
    assert again.glucose is not None
    assert again.glucose.unit is Unit.MG_DL
    assert (again.mark, again.site_detail, again.note) == (
        Mark.BEFORE_LUNCH,
        "left index",
        "shaky",
    )


def test_off_scale_word_is_not_made_of_a_feeling() -> None:
    assert mmol("LO shaky").glucose is not None
    assert mmol("2.9 feeling low").note == "feeling low"
    assert mmol("2.9 feeling low").glucose == mmol("2.9").glucose


def test_weak_unit_of_a_medicine_is_not_the_unit_of_the_reading() -> None:
    entry = mmol("7.2 metformin mg")

    assert entry.glucose is not None
    assert entry.glucose.unit is Unit.MMOL_L


def test_long_line_is_refused_and_its_end_is_five_hundred() -> None:
    assert mmol("7.2 " + "a" * 496).is_ready
    assert mmol("7.2 " + "a" * 497).problems


def test_broken_text_is_refused() -> None:
    assert mmol("7.2 \udc80").problems


def test_problem_names_the_kind_of_number_that_the_person_types() -> None:
    in_mg = read_entry("", context(unit=Unit.MG_DL)).problems[0]
    in_mmol = read_entry("", context()).problems[0]

    assert '"112"' in in_mg
    assert '"7.2"' in in_mmol


def test_bound_out_of_reach_of_any_meter_is_asked_about() -> None:
    entry = mg("<200")

    assert kinds(entry) == ["value"]
    assert entry.glucose is not None
    assert entry.glucose.bound is Bound.BELOW


@pytest.mark.parametrize("typed", ["7.2 walked over 5 km", "7.2 slept under 6 h", "7.2 over 5km"])
def test_over_and_under_an_amount_are_no_bound_of_the_meter(typed: str) -> None:
    entry = mmol(typed)

    assert entry.is_ready
    assert entry.glucose == mmol("7.2").glucose
    assert entry.note == typed.removeprefix("7.2 ")
