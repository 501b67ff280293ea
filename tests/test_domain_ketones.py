from __future__ import annotations

import re

import pytest

from app.domain.cautions import CareTexts
from app.domain.errors import NeedsAnswer, Refused
from app.domain.glucose import Bound
from app.domain.ketone_cautions import ketone_caution
from app.domain.ketones import BLOOD, URINE, URINE_LEVELS, Ketones, band_of, read_ketones


@pytest.mark.parametrize(
    ("typed", "result", "shown"),
    [
        ("0.8", Ketones(BLOOD, value="0.8"), "0.8 mmol/L"),
        (" 1,2 mmol/L ", Ketones(BLOOD, value="1.2"), "1.2 mmol/L"),
        ("0", Ketones(BLOOD, value="0"), "0 mmol/L"),
        (">8.0", Ketones(BLOOD, Bound.ABOVE, "8.0"), ">8.0 mmol/L"),
        ("<0.1", Ketones(BLOOD, Bound.BELOW, "0.1"), "<0.1 mmol/L"),
        ("HI", Ketones(BLOOD, Bound.ABOVE), "HI"),
        ("lo", Ketones(BLOOD, Bound.BELOW), "LO"),
        ("trace", Ketones(URINE, level="trace"), "urine: trace"),
        ("urine: Large", Ketones(URINE, level="large"), "urine: large"),
    ],
)
def test_a_result_is_read_as_the_meter_or_the_strip_shows_it(
    typed: str, result: Ketones, shown: str
) -> None:
    assert read_ketones(typed) == result
    assert result.shown == shown


@pytest.mark.parametrize(
    "typed", ["", "-1", "1e3", "nan", "30", "five", "0.8 mg", "urine", "0.8.1", "urine: lots"]
)
def test_what_is_no_ketone_result_is_refused_with_what_can_be_typed(typed: str) -> None:
    with pytest.raises(Refused, match=r"Nothing was saved; give blood ketones in mmol/L"):
        read_ketones(typed)


def test_more_than_meters_show_is_asked_about_and_kept_on_the_answer() -> None:
    with pytest.raises(NeedsAnswer) as asked:
        read_ketones("14")

    assert asked.value.questions[0].answers == ("--sure",)
    assert read_ketones("14", sure=True).value == "14"


def test_a_normal_result_says_nothing_and_every_other_has_its_words() -> None:
    said = {level: ketone_caution(Ketones(URINE, level=level), care=None) for level in URINE_LEVELS}

    assert said["negative"] == ()
    for level in ("trace", "small", "moderate", "large"):
        assert said[level][0].startswith(f"Urine ketones {level}: ")
        assert "care team" in said[level][-1]


def test_a_caution_names_the_persons_own_number_and_no_dose() -> None:
    lines = ketone_caution(Ketones(BLOOD, value="3.0"), care=CareTexts(emergency_number="555-0100"))

    assert lines[:2] == (
        "Blood ketones 3.0 mmol/L: get emergency care now",
        "This is probably ketoacidosis: call 555-0100 now.",
    )
    for value in ("0.6", "1.6", "3.0"):
        text = " ".join(ketone_caution(Ketones(BLOOD, value=value), care=None)).casefold()
        assert not re.search(r"\bdose|\bunits?\b|insulin|you are safe|[{}]", text)


def test_a_level_of_another_list_has_no_band_and_no_caution() -> None:
    other = Ketones(URINE, level="++")

    assert band_of(other) is None
    assert ketone_caution(other, care=None) == ()
