from __future__ import annotations

import pytest

from app.domain.cautions import caution_for
from app.domain.errors import Refused
from app.domain.glucose import LimitPair, Unit
from app.domain.safety import USUAL, SafetyLine, cautious_low, checked_line, line_on
from tests.households import result

MMOL, MG = Unit.MMOL_L, Unit.MG_DL


def line(text: str, unit: Unit = MMOL, why: str | None = None) -> SafetyLine:
    return checked_line(text, unit, from_day=1, why=why)


@pytest.mark.parametrize(
    ("text", "unit", "pair"),
    [
        ("4,4", MMOL, (80, 4.4)),  # a pair as guidelines print it; 4.4 converts to 79
        ("80", MG, (80, 4.4)),
        ("3.9", MMOL, (70, 3.9)),
        ("4.0", MMOL, (72, 4.0)),
        ("72", MG, (72, 4.0)),
    ],
)
def test_a_line_is_a_pair_whichever_unit_was_typed(
    text: str, unit: Unit, pair: tuple[float, float]
) -> None:
    assert line(text, unit).low == LimitPair(*pair)


@pytest.mark.parametrize(("text", "unit"), [("2.9", MMOL), ("53", MG), ("0", MG)])
def test_a_line_is_never_under_the_very_low_one(text: str, unit: Unit) -> None:
    with pytest.raises(Refused, match="never under"):
        line(text, unit, why="told by the team")


@pytest.mark.parametrize(("text", "unit"), [("3.8", MMOL), ("3.0", MMOL), ("69", MG), ("54", MG)])
def test_a_line_under_the_usual_one_needs_a_reason(text: str, unit: Unit) -> None:
    with pytest.raises(Refused, match="needs the reason"):
        line(text, unit, why="   ")

    assert line(text, unit, why=" told by  the team ").why == "told by the team"


@pytest.mark.parametrize(
    ("text", "unit"), [("7.9", MMOL), ("141", MG), ("nan", MG), ("4.05", MMOL), ("70.5", MG)]
)
def test_what_is_no_line_is_refused(text: str, unit: Unit) -> None:
    with pytest.raises(Refused, match="Nothing was changed"):
        line(text, unit, why="told by the team")


def test_each_line_holds_until_the_next_begins() -> None:
    lines = [SafetyLine(10, LimitPair(80, 4.4)), SafetyLine(20, LimitPair(72, 4.0))]

    assert [line_on(lines, day) for day in (9, 10, 19, 20)] == [USUAL, lines[0], lines[0], lines[1]]


def test_a_higher_line_brings_the_caution_earlier_and_a_lower_one_never_later() -> None:
    higher, lower = line("4.4"), line("3.5", why="told by the team")
    at_4_2, at_3_7 = result("4.2", MMOL), result("3.7", MMOL)

    assert cautious_low(lower) == USUAL.low
    assert caution_for(at_4_2, care=None) is None
    earlier = caution_for(at_4_2, care=None, line=higher)
    assert earlier is not None
    assert earlier.title == "Below 4.4 mmol/L: a low"
    assert caution_for(at_3_7, care=None, line=lower) == caution_for(at_3_7, care=None)
