"""A laboratory's A1C in both its units, and the average glucose it translates to.

Only in that direction: an average of finger-sticks is never turned into an A1C.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum

from app.domain.glucose import Unit

# NGSP % = 0.09148 IFCC (mmol/mol) + 2.152: the master equation (read second-hand).
_NGSP_SLOPE, _NGSP_OFFSET = Decimal("0.09148"), Decimal("2.152")
# eAG (mg/dL) = 28.7 A1C % - 46.7: Nathan et al., Diabetes Care 2008;31:1473-1478 (read).
_EAG_SLOPE, _EAG_OFFSET = Decimal("28.7"), Decimal("46.7")
# By 18, as the authors did: 18.0156 misses their printed 11.8 and 13.4, and their rounded mmol/L
# line, 1.59 A1C - 2.59, misses four of the eight printed values.
_PRINTED_FACTOR = Decimal(18)

LOWEST_PERCENT, HIGHEST_PERCENT = Decimal(5), Decimal(12)
_TENTH, _ONE = Decimal("0.1"), Decimal(1)

# The 95 % interval of eAG for each whole percent, as printed: American Diabetes Association,
# Standards of Care, table 6.1, after Nathan et al. 2008 (read second-hand).
_INTERVALS: dict[Unit, dict[int, tuple[str, str]]] = {
    Unit.MG_DL: {
        5: ("76", "120"),
        6: ("100", "152"),
        7: ("123", "185"),
        8: ("147", "217"),
        9: ("170", "249"),
        10: ("193", "282"),
        11: ("217", "314"),
        12: ("240", "347"),
    },
    Unit.MMOL_L: {
        5: ("4.2", "6.7"),
        6: ("5.5", "8.5"),
        7: ("6.8", "10.3"),
        8: ("8.1", "12.1"),
        9: ("9.4", "13.9"),
        10: ("10.7", "15.7"),
        11: ("12.0", "17.5"),
        12: ("13.3", "19.3"),
    },
}


class A1cUnit(StrEnum):
    """The two units of A1C: NGSP percent and IFCC mmol/mol."""

    PERCENT = "%"
    MMOL_MOL = "mmol/mol"


@dataclass(frozen=True, slots=True)
class TranslatedAverage:
    """The average glucose that an A1C translates to, unrounded, with its 95 % interval.

    `between_rows` says that the interval lies between two printed rows and was interpolated.
    """

    unit: Unit
    value: Decimal
    low: Decimal
    high: Decimal
    between_rows: bool


def as_percent(value: Decimal, unit: A1cUnit) -> Decimal:
    """An A1C in NGSP percent, unrounded.

    >>> as_percent(Decimal(53), A1cUnit.MMOL_MOL)
    Decimal('7.00044')
    """
    return value if unit is A1cUnit.PERCENT else _NGSP_SLOPE * value + _NGSP_OFFSET


def as_mmol_mol(value: Decimal, unit: A1cUnit) -> Decimal:
    """An A1C in IFCC mmol/mol, unrounded.

    >>> round(as_mmol_mol(Decimal("6.5"), A1cUnit.PERCENT), 1)
    Decimal('47.5')
    """
    return value if unit is A1cUnit.MMOL_MOL else (value - _NGSP_OFFSET) / _NGSP_SLOPE


def shown_a1c(value: Decimal, unit: A1cUnit) -> str:
    """Round once, half up, as laboratories print it: tenths of a percent, whole mmol/mol.

    >>> shown_a1c(Decimal("47.53"), A1cUnit.MMOL_MOL), shown_a1c(Decimal("6.45"), A1cUnit.PERCENT)
    ('48', '6.5')
    """
    return str(value.quantize(_TENTH if unit is A1cUnit.PERCENT else _ONE, ROUND_HALF_UP))


def translated_average(percent: Decimal, unit: Unit) -> TranslatedAverage | None:
    """Translate a laboratory's A1C into an estimated average glucose (eAG).

    Parameters
    ----------
    percent : Decimal
        In NGSP percent, unrounded.
    unit : Unit
        The unit wanted. In decimals throughout: in binary floats 28.7 x 6 - 46.7 rounds to 125,
        where the table prints 126.

    Returns
    -------
    TranslatedAverage or None
        None outside 5 to 12 %, which the printed table spans (rounded to tenths, as shown).
        Between two printed rows the interval is interpolated, a rule of this diary.

    References
    ----------
    D. M. Nathan et al. (2008), Diabetes Care 31, 1473-1478: 507 adults, about 2,700 glucose values
    each.

    Examples
    --------
    >>> found = translated_average(Decimal("7"), Unit.MMOL_L)
    >>> round(found.value, 1), found.low, found.high
    (Decimal('8.6'), Decimal('6.8'), Decimal('10.3'))
    """
    if not LOWEST_PERCENT <= percent.quantize(_TENTH, ROUND_HALF_UP) <= HIGHEST_PERCENT:
        return None
    mg_dl = _EAG_SLOPE * percent - _EAG_OFFSET
    inside = min(max(percent, LOWEST_PERCENT), HIGHEST_PERCENT)
    row = min(int(inside), int(HIGHEST_PERCENT) - 1)
    along = inside - row
    first, second = (_INTERVALS[unit][each] for each in (row, row + 1))
    low, high = (
        (1 - along) * Decimal(one) + along * Decimal(other)
        for one, other in zip(first, second, strict=True)
    )
    return TranslatedAverage(
        unit=unit,
        value=mg_dl if unit is Unit.MG_DL else mg_dl / _PRINTED_FACTOR,
        low=low,
        high=high,
        between_rows=inside != int(inside),
    )
