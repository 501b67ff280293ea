"""Value texts of files."""

from __future__ import annotations

import pytest

from app.domain.errors import Refused
from app.domain.glucose import Bound, Unit
from app.exchange.file_read import RowRefused
from app.exchange.recipe import OffScale
from app.exchange.units import settle_unit, unit_within
from app.exchange.values import Amounts, Values, ValuesByUnit, check_limits

MG, MMOL = Unit.MG_DL, Unit.MMOL_L


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("100", "100"), ("088", "88"), ("005.60", "5.60"), ("5,6", "5.6"), ("5.6", "5.6"),
        (" 100 ", "100"), ("١٠٠", "100"), ("５．６", "5.6"), ("१००", "100"), ("١٢٫٥", "12.5"),
        ("100 mg/dL", "100"), ("0100", "100"), ("33.30", "33.30"),
    ],
)  # fmt: skip
def test_plain_numbers_of_any_script_are_taken(text: str, value: str) -> None:
    glucose, _, _ = Values(MG, None, OffScale())[text]

    assert (glucose.value, glucose.unit, glucose.bound) == (value, MG, Bound.EXACT)


@pytest.mark.parametrize(
    "text",
    [
        "", " ", "0''", "1_0", "nan", "NaN", "inf", "-inf", "Infinity", "1e400", "1e3", "1E2",
        "²", "5²", "-5", "+5", "1 000", "1.000,5", "1,000.5", "5..6", "5.", ".5", "5,6,7", "0x64",
        "0", "0.0", "000", "½", "Ⅷ", "5 .6", "3000", "9999999999999", "<", "<>5", "--", "n/a",
        "100 g/L", "100%",
    ],
)  # fmt: skip
def test_everything_else_is_refused(text: str) -> None:
    with pytest.raises(RowRefused):
        Values(MG, None, OffScale())[text]


@pytest.mark.parametrize(
    ("text", "bound", "value"),
    [
        ("LO", Bound.BELOW, "1.1"), ("lo", Bound.BELOW, "1.1"), ("High", Bound.ABOVE, "33.3"),
        ("<20", Bound.BELOW, "20"), ("> 600", Bound.ABOVE, "600"), ("<1,1", Bound.BELOW, "1.1"),
    ],
)  # fmt: skip
def test_off_the_scale_is_a_bound_and_no_number(text: str, bound: Bound, value: str) -> None:
    scale = OffScale(low_limit="1.1", high_limit="33.3")

    glucose, _, _ = Values(MMOL if "." in value else MG, None, scale)[text]

    assert (glucose.bound, glucose.value) == (bound, value)


@pytest.mark.parametrize(
    ("text", "unit", "held"),
    [
        ("9.9", MG, True), ("10", MG, False), ("1000", MG, False), ("1000.5", MG, True),
        ("0.5", MMOL, True), ("0.6", MMOL, False), ("55.5", MMOL, False), ("55.6", MMOL, True),
        ("<5", MG, True),
    ],
)  # fmt: skip
def test_values_outside_10_to_1000_mg_dl_are_held(text: str, unit: Unit, held: bool) -> None:
    assert (Values(unit, None, OffScale())[text][1] is not None) is held


def test_a_unit_beside_the_number_goes_before_the_columns() -> None:
    glucose, _, written = Values(MG, "mg/dL", OffScale())["5.6 mmol/l"]

    assert (glucose.value, glucose.unit, written) == ("5.6", MMOL, "mmol/l")


def test_a_unit_column_decides_row_by_row_and_a_strange_unit_is_refused() -> None:
    by_unit = ValuesByUnit(Values(MG, None, OffScale()), OffScale())

    assert by_unit["mmol/L"]["5.6"][0].unit is MMOL
    assert by_unit[""]["100"][0].unit is MG
    with pytest.raises(RowRefused, match="no unit of glucose"):
        by_unit["g/L"]


def test_a_dose_of_0_is_a_dose_and_text_is_none() -> None:
    amounts = Amounts()

    assert [amounts[text] for text in ("0", "005", "6.5", "6,5")] == ["0", "5", "6.5", "6.5"]
    for text in ("", "3A", "1e3", "-1"):
        with pytest.raises(RowRefused):
            amounts[text]


@pytest.mark.parametrize(
    ("values", "unit"),
    [
        ({"100": 5, "45": 1}, MG), ({"5.6": 3, "12": 1}, MMOL), ({"15": 1, "97": 9, "LO": 5}, MG),
        ({"5,6": 3, "33,3": 1}, MMOL),
    ],
)  # fmt: skip
def test_values_that_only_one_unit_allows_settle_it(values: dict[str, int], unit: Unit) -> None:
    assert settle_unit(values, stated=None, hint=None) == (unit, None)


@pytest.mark.parametrize(
    "values",
    [{"25": 3}, {"20": 1, "30": 2, "33": 1}, {"5.6": 5, "100": 6}, {"5": 1, "7": 1}, {"<20": 1}],
)
@pytest.mark.parametrize("hint", [None, MG, MMOL])
def test_values_possible_in_both_units_are_asked_about(
    values: dict[str, int], hint: Unit | None
) -> None:
    unit, question = settle_unit(values, stated=None, hint=hint)

    assert unit is None
    assert question is not None
    assert question.kind == "unit"
    assert question.answers[0] == f"--unit {hint or MG}"


@pytest.mark.parametrize(("stated", "values"), [(MMOL, {"112": 9, "5.6": 1}), (MG, {"5.6": 9})])
def test_a_whole_column_in_the_wrong_unit_is_asked_about(
    stated: Unit, values: dict[str, int]
) -> None:
    unit, question = settle_unit(values, stated=stated, hint=None)

    assert unit is None
    assert question is not None
    assert question.answers == (f"--unit {stated.other}",)


def test_one_strange_value_does_not_turn_the_column() -> None:
    assert settle_unit({"5.6": 9, "112": 1}, stated=MMOL, hint=None) == (MMOL, None)


def test_a_title_that_names_both_units_names_none() -> None:
    assert unit_within("Glucose (mg/dL or mmol/L)") is None
    assert unit_within("GLUCOSE MG / DL") == (MG, "MG / DL")


def test_a_limit_in_the_wrong_unit_is_refused() -> None:
    with pytest.raises(Refused, match=r"off_scale limit 1\.1"):
        check_limits(OffScale(low_limit="1.1"), MG)
