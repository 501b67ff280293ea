"""A1C and estimated average glucose against the printed table, in both units.

How sure each value is: V read in the paper, V2 read in another source that quotes it, W worked in
exact decimals.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import pytest

from app.domain.a1c import A1cUnit, as_mmol_mol, as_percent, shown_a1c, translated_average
from app.domain.glucose import Unit

Three = tuple[str, str, str]  # centre, low, high
Row = tuple[int, Three, Three]

# American Diabetes Association, Standards of Care, table 6.1, after Nathan, Kuenen, Borg, Zheng,
# Schoenfeld, Heine, Diabetes Care 2008;31:1473-1478 (V2; centres also W from the V line).
PRINTED: list[Row] = [
    (5, ("97", "76", "120"), ("5.4", "4.2", "6.7")),
    (6, ("126", "100", "152"), ("7.0", "5.5", "8.5")),
    (7, ("154", "123", "185"), ("8.6", "6.8", "10.3")),
    (8, ("183", "147", "217"), ("10.2", "8.1", "12.1")),
    (9, ("212", "170", "249"), ("11.8", "9.4", "13.9")),
    (10, ("240", "193", "282"), ("13.4", "10.7", "15.7")),
    (11, ("269", "217", "314"), ("14.9", "12.0", "17.5")),
    (12, ("298", "240", "347"), ("16.5", "13.3", "19.3")),
]


def printed(value: Decimal, unit: Unit) -> str:
    return str(value.quantize(Decimal(1).scaleb(-unit.places), ROUND_HALF_UP))


@pytest.mark.parametrize("row", PRINTED)
@pytest.mark.parametrize("unit", list(Unit))
def test_the_printed_table_comes_out_in_both_units(row: Row, unit: Unit) -> None:
    percent, in_mg_dl, in_mmol_l = row

    found = translated_average(Decimal(percent), unit)

    assert found is not None
    said = tuple(printed(each, unit) for each in (found.value, found.low, found.high))
    assert said == (in_mg_dl if unit is Unit.MG_DL else in_mmol_l)
    assert not found.between_rows


def test_the_short_cuts_would_miss_the_table() -> None:
    # W: the rounded mmol/L line (V) misses four rows, division by 18.0156 two, binary floats one.
    tenth, table = Decimal("0.1"), {percent: Decimal(mmol[0]) for percent, _, mmol in PRINTED}
    missed_by_line = [
        percent
        for percent, value in table.items()
        if (Decimal("1.59") * percent - Decimal("2.59")).quantize(tenth, ROUND_HALF_UP) != value
    ]
    missed_by_factor = [
        percent
        for percent, value in table.items()
        if ((Decimal("28.7") * percent - Decimal("46.7")) / Decimal("18.0156")).quantize(
            tenth, ROUND_HALF_UP
        )
        != value
    ]

    assert missed_by_line == [7, 8, 9, 10]
    assert missed_by_factor == [9, 10]
    assert round(28.7 * 6 - 46.7) == 125


@pytest.mark.parametrize(
    ("mmol_mol", "percent"),
    # NGSP % = 0.09148 IFCC + 2.152: NGSP/IFCC master equation (V2); values W.
    [(53, "7.00044"), (48, "6.54304"), (42, "5.99416"), (64, "8.00672")],
)
def test_the_master_equation_from_mmol_per_mol(mmol_mol: int, percent: str) -> None:
    assert as_percent(Decimal(mmol_mol), A1cUnit.MMOL_MOL) == Decimal(percent)


@pytest.mark.parametrize(("percent", "mmol_mol"), [("7", "53.0"), ("6.5", "47.5")])
def test_the_master_equation_from_percent(percent: str, mmol_mol: str) -> None:
    # Inverse of the same equation (V2), to the digits given (W).
    found = as_mmol_mol(Decimal(percent), A1cUnit.PERCENT)

    assert found.quantize(Decimal("0.1"), ROUND_HALF_UP) == Decimal(mmol_mol)


@pytest.mark.parametrize("percent", ["4.9", "12.1", "3", "20"])
def test_outside_the_table_nothing_is_translated(percent: str) -> None:
    assert translated_average(Decimal(percent), Unit.MG_DL) is None


def test_between_two_rows_the_interval_lies_between_theirs_and_says_so() -> None:
    # 28.7 x 7.2 - 46.7 = 159.94 (W); the interval a fifth of the way from row 7 to row 8, a rule
    # of this diary (W).
    found = translated_average(Decimal("7.2"), Unit.MG_DL)

    assert found is not None
    assert found.value == Decimal("159.94")
    assert (found.low, found.high) == (Decimal("127.8"), Decimal("191.4"))
    assert found.between_rows


def test_a_value_that_reads_as_5_percent_is_translated() -> None:
    # 31 mmol/mol is 4.98788 % (W) and is printed as 5.0 %.
    percent = as_percent(Decimal(31), A1cUnit.MMOL_MOL)

    found = translated_average(percent, Unit.MG_DL)

    assert shown_a1c(percent, A1cUnit.PERCENT) == "5.0"
    assert found is not None
    assert (found.low, found.high) == (Decimal(76), Decimal(120))
