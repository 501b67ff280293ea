from __future__ import annotations

import re

import pytest

from app.domain.cautions import CareTexts, caution_for
from app.domain.glucose import Bound, Glucose, Unit
from app.domain.levels import Level
from tests.households import result

MMOL, MG = Unit.MMOL_L, Unit.MG_DL
EACH = [("3.8", MMOL), ("2.9", MMOL), ("LO", MMOL), ("14.0", MMOL), ("HI", MMOL), (">600", MG)]


@pytest.mark.parametrize(
    ("value", "unit", "level"),
    [
        ("3.8", MMOL, Level.LOW),
        ("3.0", MMOL, Level.LOW),
        ("2.9", MMOL, Level.VERY_LOW),
        ("69", MG, Level.LOW),
        ("54", MG, Level.LOW),
        ("53", MG, Level.VERY_LOW),
        ("LO", MG, Level.VERY_LOW),
        ("<20", MG, Level.VERY_LOW),
        ("14.0", MMOL, Level.VERY_HIGH),
        ("251", MG, Level.VERY_HIGH),
        ("HI", MMOL, Level.VERY_HIGH),
        (">33.3", MMOL, Level.VERY_HIGH),
    ],
)
def test_lows_and_very_highs_have_a_caution(value: str, unit: Unit, level: Level) -> None:
    caution = caution_for(result(value, unit), care=None)

    assert caution is not None
    assert caution.level is level


@pytest.mark.parametrize(
    ("value", "unit"),
    [("3.9", MMOL), ("70", MG), ("10.1", MMOL), ("13.9", MMOL), ("250", MG)],
)
def test_everything_between_has_none(value: str, unit: Unit) -> None:
    assert caution_for(result(value, unit), care=None) is None


def test_result_without_a_value_has_none() -> None:
    assert caution_for(Glucose(None, MG, Bound.NO_VALUE), care=None) is None


@pytest.mark.parametrize(("value", "unit"), EACH)
def test_every_caution_ends_with_the_care_team_and_a_number_to_call(value: str, unit: Unit) -> None:
    caution = caution_for(result(value, unit), care=None)

    assert caution is not None
    assert caution.lines[-1] == (
        "General information. Follow the plan that your own care team gave you; if you have none, "
        "ask for one. In an emergency call your local emergency number."
    )
    assert caution.source


@pytest.mark.parametrize(("value", "unit"), EACH)
def test_own_emergency_number_takes_the_place_of_the_local_one(value: str, unit: Unit) -> None:
    care = CareTexts(emergency_number=" 555-0100 ")

    caution = caution_for(result(value, unit), care=care)

    assert caution is not None
    said = " ".join(caution.lines)
    assert "555-0100" in said
    assert "local emergency number" not in said


@pytest.mark.parametrize(("value", "unit"), EACH)
def test_no_caution_holds_a_dose_a_promise_or_a_scolding(value: str, unit: Unit) -> None:
    caution = caution_for(result(value, unit), care=None)

    assert caution is not None
    said = " ".join((caution.heads_up, *caution.lines)).casefold()
    for word in ("insulin", "unit", "glucagon", "dose", "safe", "good", "bad", "warning", "per kg"):
        assert not re.search(rf"\b{word}s?\b", said), word
    assert "{" not in said
    assert "\n" not in caution.heads_up


def test_limits_are_named_in_the_unit_that_was_typed() -> None:
    in_mg = caution_for(result("60", MG), care=None)
    in_mmol = caution_for(result("3.3", MMOL), care=None)

    assert in_mg is not None
    assert in_mmol is not None
    assert "Below 70 mg/dL" in in_mg.title
    assert "mmol/L" not in " ".join(in_mg.lines)
    assert "Below 3.9 mmol/L" in in_mmol.title


@pytest.mark.parametrize("value", ["3.5", "2.0", "LO"])
def test_low_says_what_first_aid_texts_agree_on(value: str) -> None:
    caution = caution_for(result(value, MMOL), care=None)

    assert caution is not None
    said = " ".join(caution.says)
    for part in (
        "15 to 20 g",
        "after 15 minutes",
        "able to swallow",
        "nothing by mouth",
        "get help now",
        "the amount your care team gave you",
    ):
        assert part in said


def test_very_low_speaks_more_strongly_than_low() -> None:
    low, very_low = (caution_for(result(value, MMOL), care=None) for value in ("3.5", "2.5"))

    assert low is not None
    assert very_low is not None
    assert "act now" in very_low.title
    assert "act now" not in low.title


@pytest.mark.parametrize("value", ["15.0", "HI"])
def test_very_high_names_ketones_and_the_urgent_signs(value: str) -> None:
    caution = caution_for(result(value, MMOL), care=None)

    assert caution is not None
    said = " ".join(caution.says)
    for part in ("ketones", "3.0 mmol/L or more", "vomiting", "fast deep breathing", "drowsiness"):
        assert part in said


def test_a_low_says_the_own_plan_first_as_it_was_typed_and_a_high_does_not() -> None:
    care = CareTexts(low_plan="juice;  ring Bram {555-0142}")

    low, high, without = (
        caution_for(result(value, MMOL), care=texts)
        for value, texts in (("2.1", care), ("14.2", care), ("2.1", CareTexts(low_plan=" ")))
    )

    assert low is not None
    assert high is not None
    assert without is not None
    assert low.says[0] == "Your own plan says: “juice; ring Bram {555-0142}”"
    assert low.says[1:] == without.says
    assert not any("own plan says" in each for each in high.says)
