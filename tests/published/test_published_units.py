"""Units, rounding and limits against printed values.

How sure each value is: V read in the guideline or paper, M from memory, W worked exhaustively or by
exact decimal arithmetic, C common practice without a source.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import pytest

from app.domain.glucose import MG_DL_PER_MMOL_L, Bound, Glucose, LimitPair, Unit, converted, shown

WHOLE_MG_DL = range(20, 601)  # the range that a typical home meter shows
EXACT_FACTOR = Decimal("18.0156")


def as_mmol(mg_dl: int) -> str:
    return shown(converted(mg_dl, Unit.MG_DL, Unit.MMOL_L), Unit.MMOL_L)


def as_mg(mmol_l: float) -> str:
    return shown(converted(mmol_l, Unit.MMOL_L, Unit.MG_DL), Unit.MG_DL)


def test_factor_is_a_tenth_of_the_molar_mass_of_glucose() -> None:
    # IUPAC abridged standard atomic weights, C 12.011, H 1.008, O 15.999 (M); the sum (W).
    molar_mass = 6 * 12.011 + 12 * 1.008 + 6 * 15.999

    assert pytest.approx(molar_mass / 10, abs=1e-9) == MG_DL_PER_MMOL_L


def test_factor_gives_the_worked_conversions() -> None:
    # Exact decimal division and multiplication by 18.0156 (W); tolerance is the digits given.
    assert converted(100, Unit.MG_DL, Unit.MMOL_L) == pytest.approx(5.550745, abs=1e-6)
    assert converted(10.0, Unit.MMOL_L, Unit.MG_DL) == pytest.approx(180.156, abs=1e-3)


@pytest.mark.parametrize(
    ("mg_dl", "mmol_l"),
    [
        (70, "3.9"), (54, "3.0"), (180, "10.0"), (250, "13.9"), (95, "5.3"), (140, "7.8"),
        (126, "7.0"), (40, "2.2"), (400, "22.2"), (600, "33.3"),
    ],
)  # fmt: skip
def test_display_has_one_decimal_rounded_half_up(mg_dl: int, mmol_l: str) -> None:
    # Rounding on display: common practice (C); each value by exact decimal arithmetic (W).
    assert as_mmol(mg_dl) == mmol_l


def test_the_factor_18_would_show_85_whole_numbers_differently() -> None:
    # Exhaustive loop over 20 to 600 in exact decimals (W).
    tenth = Decimal("0.1")
    different = [
        mg_dl
        for mg_dl in WHOLE_MG_DL
        if Decimal(as_mmol(mg_dl)) != (Decimal(mg_dl) / 18).quantize(tenth, ROUND_HALF_UP)
    ]

    assert len(WHOLE_MG_DL) == 581
    assert len(different) == 85
    assert different[:4] == [118, 127, 136, 145]
    assert as_mmol(118) == "6.5"
    assert (Decimal(118) / 18).quantize(tenth, ROUND_HALF_UP) == Decimal("6.6")


def test_display_equals_exact_decimal_arithmetic_everywhere() -> None:
    # Exhaustive loop over both ranges in exact decimals (W).
    for mg_dl in WHOLE_MG_DL:
        exact = (Decimal(mg_dl) / EXACT_FACTOR).quantize(Decimal("0.1"), ROUND_HALF_UP)
        assert as_mmol(mg_dl) == str(exact)
    for tenths in range(11, 334):
        exact = (Decimal(tenths) / 10 * EXACT_FACTOR).quantize(Decimal(1), ROUND_HALF_UP)
        assert as_mg(tenths / 10) == str(exact)


def test_whole_mg_dl_do_not_survive_tenths_of_mmol_l() -> None:
    # Exhaustive loop (W): 258 of 581 come back altered, by 1 at most.
    steps = [int(as_mg(float(as_mmol(mg_dl)))) - mg_dl for mg_dl in WHOLE_MG_DL]

    assert sum(step != 0 for step in steps) == 258
    assert max(abs(step) for step in steps) == 1


def test_tenths_of_mmol_l_survive_whole_mg_dl() -> None:
    # Exhaustive loop over 1.1 to 33.3 (W): none is altered.
    for tenths in range(11, 334):
        assert as_mmol(int(as_mg(tenths / 10))) == f"{tenths / 10:.1f}"


@pytest.mark.parametrize(
    ("mg_dl", "mmol_l"),
    [
        # Printed pairs of the ADA Standards of Care, the ISPAD guidelines and the consensus
        # statements on glucose levels (V); 240 and 300 common practice (C).
        (54, 3.0), (63, 3.5), (70, 3.9), (80, 4.4), (95, 5.3), (120, 6.7), (130, 7.2), (140, 7.8),
        (144, 8.0), (150, 8.3), (180, 10.0), (200, 11.1), (240, 13.3), (250, 13.9), (300, 16.7),
    ],
)  # fmt: skip
def test_each_printed_limit_pair_is_the_rounded_conversion(mg_dl: int, mmol_l: float) -> None:
    pair = LimitPair(mg_dl, mmol_l)

    assert as_mmol(mg_dl) == f"{pair.in_unit(Unit.MMOL_L):.1f}"
    assert pair.in_unit(Unit.MG_DL) == mg_dl


@pytest.mark.parametrize(
    ("mmol_l", "converted_mg_dl", "pair"),
    [
        ("10.0", 180.16, LimitPair(180, 10.0)),
        ("13.9", 250.42, LimitPair(250, 13.9)),
        ("7.8", 140.52, LimitPair(140, 7.8)),
    ],
)
def test_value_on_a_limit_is_inside_in_its_own_unit_and_outside_once_converted(
    mmol_l: str, converted_mg_dl: float, pair: LimitPair
) -> None:
    # By multiplication with 18.0156 (W), to the two decimals given.
    entered = Glucose(mmol_l, Unit.MMOL_L)

    assert entered.number is not None
    assert entered.mg_dl is not None
    assert entered.number <= pair.in_unit(entered.unit)
    assert entered.mg_dl == pytest.approx(converted_mg_dl, abs=0.005)
    assert entered.mg_dl > pair.in_unit(Unit.MG_DL)


def test_181_mg_dl_is_above_180_and_shows_as_the_limit_in_mmol_l() -> None:
    # By exact decimal arithmetic (W).
    entered = Glucose("181", Unit.MG_DL)

    assert entered.shown(Unit.MMOL_L) == "10.0"
    assert entered.number is not None
    assert entered.number > LimitPair(180, 10.0).in_unit(entered.unit)


def test_the_ends_of_a_home_meter_are_a_pair() -> None:
    # 1.1 to 33.3 mmol/L: appendix on the low blood glucose index, Kovatchev group
    # (read second-hand, V2); 20 to 600 mg/dL by conversion (W).
    assert (as_mmol(20), as_mmol(600)) == ("1.1", "33.3")
    assert Glucose("20", Unit.MG_DL, Bound.BELOW).shown(Unit.MMOL_L) == "<1.1"
    assert Glucose("600", Unit.MG_DL, Bound.ABOVE).shown(Unit.MMOL_L) == ">33.3"
