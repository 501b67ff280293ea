from __future__ import annotations

import pytest

from app.domain.entry import EntryContext
from app.domain.glucose import Bound, Unit
from app.domain.marks import Mark
from tests.entry_lines import context, mg, mmol

VALUES = [
    ("7.2", "7.2", Unit.MMOL_L, Bound.EXACT),
    ("5,6", "5.6", Unit.MMOL_L, Bound.EXACT),
    ("  7.2  ", "7.2", Unit.MMOL_L, Bound.EXACT),
    ("7.2.", "7.2", Unit.MMOL_L, Bound.EXACT),
    ("(7.2)", "7.2", Unit.MMOL_L, Bound.EXACT),
    ("2.1", "2.1", Unit.MMOL_L, Bound.EXACT),
    ("1.1", "1.1", Unit.MMOL_L, Bound.EXACT),
    ("33.3", "33.3", Unit.MMOL_L, Bound.EXACT),
    ("25", "25", Unit.MMOL_L, Bound.EXACT),
    ("5.60", "5.60", Unit.MMOL_L, Bound.EXACT),
    ("5.6mmol", "5.6", Unit.MMOL_L, Bound.EXACT),
    ("5.6 mmol/l", "5.6", Unit.MMOL_L, Bound.EXACT),
    ("5,6 MMOL/L", "5.6", Unit.MMOL_L, Bound.EXACT),
    ("5.6 mmol per litre", "5.6", Unit.MMOL_L, Bound.EXACT),
    ("before lunch 5.6 fine mmol/L", "5.6", Unit.MMOL_L, Bound.EXACT),
    ("112mg/dl", "112", Unit.MG_DL, Bound.EXACT),
    ("112 mg / dL", "112", Unit.MG_DL, Bound.EXACT),
    ("112 mg", "112", Unit.MG_DL, Bound.EXACT),
    ("112MG", "112", Unit.MG_DL, Bound.EXACT),
    ("bg 7.2", "7.2", Unit.MMOL_L, Bound.EXACT),
    ("glucose = 7.2", "7.2", Unit.MMOL_L, Bound.EXACT),
    ("LO", None, Unit.MMOL_L, Bound.BELOW),
    ("Lo", None, Unit.MMOL_L, Bound.BELOW),
    ("HI", None, Unit.MMOL_L, Bound.ABOVE),
    ("hi", None, Unit.MMOL_L, Bound.ABOVE),
    ("high", None, Unit.MMOL_L, Bound.ABOVE),
    ("LOW bedtime", None, Unit.MMOL_L, Bound.BELOW),
    ("LO mg/dL", None, Unit.MG_DL, Bound.BELOW),
    ("HI 20:24", None, Unit.MMOL_L, Bound.ABOVE),
    ("HI 1820", None, Unit.MMOL_L, Bound.ABOVE),
    ("<1.1", "1.1", Unit.MMOL_L, Bound.BELOW),
    ("< 1,1", "1.1", Unit.MMOL_L, Bound.BELOW),
    (">33.3", "33.3", Unit.MMOL_L, Bound.ABOVE),
    ("over 33.3", "33.3", Unit.MMOL_L, Bound.ABOVE),
    ("less than 1.1", "1.1", Unit.MMOL_L, Bound.BELOW),
    ("<20 mg/dL", "20", Unit.MG_DL, Bound.BELOW),
    ("> 600 mg", "600", Unit.MG_DL, Bound.ABOVE),
    ("HI >33.3", "33.3", Unit.MMOL_L, Bound.ABOVE),
    ("LO (<20 mg/dL)", "20", Unit.MG_DL, Bound.BELOW),
    ("shaky 2.9", "2.9", Unit.MMOL_L, Bound.EXACT),
    ("shaky, 2.9", "2.9", Unit.MMOL_L, Bound.EXACT),
    ("2.9 low", "2.9", Unit.MMOL_L, Bound.EXACT),
    ("juice 200 ml then 7.2", "7.2", Unit.MMOL_L, Bound.EXACT),
    ("7.2 paracetamol 500mg", "7.2", Unit.MMOL_L, Bound.EXACT),
    ("７．２", "7.2", Unit.MMOL_L, Bound.EXACT),
    ("１１２ｍｇ／ｄＬ", "112", Unit.MG_DL, Bound.EXACT),
    ("＞３３．３", "33.3", Unit.MMOL_L, Bound.ABOVE),
    ("٧٫٢", "7.2", Unit.MMOL_L, Bound.EXACT),
    ("७.२", "7.2", Unit.MMOL_L, Bound.EXACT),
    ("\u200f٧٫٢\u200e", "7.2", Unit.MMOL_L, Bound.EXACT),
]

MARKS = [
    ("before breakfast", Mark.WAKING, None),
    ("Before Breakfast", Mark.WAKING, None),
    ("pre-breakfast", Mark.WAKING, None),
    ("waking", Mark.WAKING, None),
    ("on waking", Mark.WAKING, None),
    ("woke up", Mark.WAKING, None),
    ("fasting before breakfast", Mark.WAKING, None),
    ("before breakfast, fasting", Mark.WAKING, None),
    ("fasting 06:50", Mark.WAKING, None),
    ("fasting 04:00", Mark.WAKING, None),
    ("fasting 10:59", Mark.WAKING, None),
    ("fasting 11:00", Mark.FASTING, None),
    ("fasting 03:59", Mark.FASTING, None),
    ("fasting 15:00", Mark.FASTING, None),
    ("fasting", Mark.FASTING, None),  # typed at 21:00
    ("after breakfast", Mark.AFTER_BREAKFAST, None),
    ("after brekkie", Mark.AFTER_BREAKFAST, None),
    ("before lunch", Mark.BEFORE_LUNCH, None),
    ("b4 lunch", Mark.BEFORE_LUNCH, None),
    ("pre lunch", Mark.BEFORE_LUNCH, None),
    ("prelunch", Mark.BEFORE_LUNCH, None),
    ("just before her lunch", Mark.BEFORE_LUNCH, None),
    ("prior to lunch", Mark.BEFORE_LUNCH, None),
    ("after lunch", Mark.AFTER_LUNCH, None),
    ("right after lunch", Mark.AFTER_LUNCH, None),
    ("2h after lunch", Mark.AFTER_LUNCH, 120),
    ("2 h after lunch", Mark.AFTER_LUNCH, 120),
    ("two hours after lunch", Mark.AFTER_LUNCH, 120),
    ("1.5 h after lunch", Mark.AFTER_LUNCH, 90),
    ("1,5h after lunch", Mark.AFTER_LUNCH, 90),
    ("1h30 after lunch", Mark.AFTER_LUNCH, 90),
    ("1 h 30 min post lunch", Mark.AFTER_LUNCH, 90),
    ("after lunch 90 min", Mark.AFTER_LUNCH, 90),
    ("after lunch (2h)", Mark.AFTER_LUNCH, 120),
    ("an hour after lunch", Mark.AFTER_LUNCH, 60),
    ("half an hour after lunch", Mark.AFTER_LUNCH, 30),
    ("before dinner", Mark.BEFORE_EVENING_MEAL, None),
    ("before supper", Mark.BEFORE_EVENING_MEAL, None),
    ("before tea", Mark.BEFORE_EVENING_MEAL, None),
    ("before the evening meal", Mark.BEFORE_EVENING_MEAL, None),
    ("post dinner", Mark.AFTER_EVENING_MEAL, None),
    ("90 min after dinner", Mark.AFTER_EVENING_MEAL, 90),
    ("after supper", Mark.AFTER_EVENING_MEAL, None),
    ("after tea", Mark.AFTER_EVENING_MEAL, None),
    ("bed", Mark.BEDTIME, None),
    ("bedtime", Mark.BEDTIME, None),
    ("at bedtime", Mark.BEDTIME, None),
    ("before bed", Mark.BEDTIME, None),
    ("going to bed", Mark.BEDTIME, None),
    ("night", Mark.NIGHT, None),
    ("03:00 night", Mark.NIGHT, None),
    ("in the middle of the night", Mark.NIGHT, None),
    ("before snack", Mark.BEFORE_SNACK, None),
    ("before a snack", Mark.BEFORE_SNACK, None),
    ("after snack", Mark.AFTER_SNACK, None),
    ("before meal", Mark.BEFORE_MEAL, None),
    ("pre-meal", Mark.BEFORE_MEAL, None),
    ("before eating", Mark.BEFORE_MEAL, None),
    ("preprandial", Mark.BEFORE_MEAL, None),
    ("after meal", Mark.AFTER_MEAL, None),
    ("postmeal", Mark.AFTER_MEAL, None),
    ("after eating", Mark.AFTER_MEAL, None),
    ("2h after", Mark.AFTER_MEAL, 120),
    ("2h pp", Mark.AFTER_MEAL, 120),
    ("casual", Mark.CASUAL, None),
    ("random", Mark.CASUAL, None),
    ("", Mark.NONE, None),
    ("lunch", Mark.NONE, None),
    ("before exercise", Mark.NONE, None),
    ("2h after walk", Mark.NONE, None),
]

SITES = [
    ("left index", "finger", "left index"),
    ("index finger left", "finger", "left index"),
    ("left hand index finger", "finger", "left index"),
    ("l index", "finger", "left index"),
    ("pointer", "finger", "index"),
    ("right ring finger", "finger", "right ring"),
    ("right ring", "finger", "right ring"),
    ("ring finger", "finger", "ring"),
    ("thumb", "finger", "thumb"),
    ("R thumb", "finger", "right thumb"),
    ("middle finger", "finger", "middle"),
    ("little finger", "finger", "little"),
    ("left pinky", "finger", "left little"),
    ("left hand", "finger", "left hand"),
    ("fingertip", "finger", None),
    ("palm", "palm", None),
    ("from the left palm", "palm", "left"),
    ("forearm", "forearm", None),
    ("right forearm", "forearm", "right"),
    ("upper arm left", "upper_arm", "left"),
    ("thigh", "thigh", None),
    ("earlobe", "earlobe", None),
    ("left arm", "other", "left arm"),
    ("ring Bram", None, None),
    ("a little shaky", None, None),
    ("left early", None, None),
]

HANDS = [
    ("unwashed", "not"),
    ("unwashed hands", "not"),
    ("hands not washed", "not"),
    ("didn't wash hands", "not"),
    ("did not wash", "not"),
    ("washed", "washed"),
    ("washed hands", "washed"),
    ("clean hands", "washed"),
    ("", "unknown"),
]

NOTES = [
    ("2.9 night shaky juice", "shaky juice"),
    ("2.9 night juice 200 ml", "juice 200 ml"),
    ("7.2 carbs 45 g before lunch", "carbs 45 g"),
    ("7.2 before lunch 45 g", "45 g"),
    ('7.2 "after 3 biscuits" fasting', "after 3 biscuits"),
    ("7.2 “after 3 biscuits”", "after 3 biscuits"),
    ('7.2 "never closed', "never closed"),
    ("7.2; felt odd at 6:50", "felt odd at 6:50"),
    ("7.2 -- before the match", "before the match"),
    ("7.2 Note: had 3", "had 3"),
    ("7.2 check-up don't worry", "check-up don't worry"),
    ("7.2 sat in the sun", "sat in the sun"),
    ("7.2 bp 120/80", "bp 120/80"),
    ("7.2 ate 1/2 banana", "ate 1/2 banana"),
    ("7.2 Paracetamol 500 bedtime", "Paracetamol 500"),
    ("7.2 Übelkeit 😀", "Übelkeit 😀"),
    ("7.2 lunch", "lunch"),
    ("7.2 humidity 95% 38.5°C", "humidity 95% 38.5°C"),
    ("7.2 30 min before lunch", "30 min"),
    ("7.2 and washed", None),
    ("7.2", None),
]


@pytest.mark.parametrize(("typed", "value", "unit", "bound"), VALUES)
def test_value_and_unit_are_read(typed: str, value: str | None, unit: Unit, bound: Bound) -> None:
    entry = mmol(typed, sure="1820" in typed)

    assert entry.glucose is not None
    assert (entry.glucose.value, entry.glucose.unit, entry.glucose.bound) == (value, unit, bound)
    assert entry.is_ready


@pytest.mark.parametrize(("words", "mark", "after_min"), MARKS)
@pytest.mark.parametrize("line", ["7.2 {}", "{} 7.2"])
def test_mark_is_read_on_either_side(
    line: str, words: str, mark: Mark, after_min: int | None
) -> None:
    entry = mmol(line.format(words))

    assert (entry.mark, entry.after_min) == (mark, after_min)
    assert entry.glucose is not None
    assert entry.glucose.value == "7.2"
    assert entry.is_ready


@pytest.mark.parametrize(("words", "site", "detail"), SITES)
def test_sampling_site_is_read(words: str, site: str | None, detail: str | None) -> None:
    entry = mmol(f"7.2 {words} before lunch")

    assert (entry.site, entry.site_detail) == (site, detail)
    assert (entry.note is None) is (site is not None)
    assert entry.mark is Mark.BEFORE_LUNCH


@pytest.mark.parametrize(("words", "hands"), HANDS)
def test_hands_are_read(words: str, hands: str) -> None:
    assert mmol(f"7.2 {words}").hands == hands


@pytest.mark.parametrize(("typed", "note"), NOTES)
def test_what_is_not_understood_is_kept_as_note(typed: str, note: str | None) -> None:
    entry = mmol(typed)

    assert entry.note == note
    assert entry.glucose is not None
    assert entry.is_ready


def test_tags_are_read_with_a_sign_and_known_ones_without() -> None:
    entry = mmol("7.2 SWIM #gym sports day #Swim chess")

    assert entry.tags == ("swim", "gym", "Sports day")
    assert entry.note == "chess"


def test_pieces_say_what_was_understood() -> None:
    entry = mg("112 fasting 6:50 left index #swim shaky")

    assert [(piece.kind, piece.text, piece.means) for piece in entry.pieces] == [
        ("value", "112", "112 mg/dL, the unit of this diary"),
        (
            "mark",
            "fasting",
            "waking: fasting between 04:00 and 10:59 is the waking reading",
        ),
        ("time", "6:50", "today, Thu 12 Mar, 06:50"),
        ("site", "left index", "left index finger"),
        ("tag", "#swim", "tag: swim"),
        ("note", "shaky", "kept as a note"),
    ]


def test_value_piece_says_its_bound_and_unit() -> None:
    below = mmol("<20 mg/dL").pieces
    above = mmol("HI after dinner").pieces

    assert [piece.means for piece in below] == ["below 20 mg/dL, a limit of the meter", "mg/dL"]
    assert above[0].means == "above what the meter can show; its limit is not given"
    assert above[1].means == "after evening meal"


def test_context_refuses_a_naive_now() -> None:
    aware = context()

    with pytest.raises(ValueError, match="aware"):
        EntryContext(aware.now.replace(tzinfo=None), aware.zone, aware.unit)
