"""The lowest and the highest result that a meter shows, as its columns hold them."""

from __future__ import annotations

from app.domain.glucose import LimitPair, Unit, converted
from app.work.kit_vials import read_range


def range_fields(text: str, unit: Unit) -> dict[str, float]:
    """The columns of a measuring range: "0.6-33.3" as printed in one unit, converted for the other.

    Raises
    ------
    Refused
        It is no range, or upside down.
    """
    ends = read_range(text, "", unit)
    low, high = limit_pair(ends.low, unit), limit_pair(ends.high, unit)
    return {
        "low_mg": low.mg_dl,
        "low_mmol": low.mmol_l,
        "high_mg": high.mg_dl,
        "high_mmol": high.mmol_l,
    }


def limit_pair(text: str, unit: Unit) -> LimitPair:
    """A limit in both units: as printed, and converted to the places of the other.

    >>> limit_pair("0.6", Unit.MMOL_L)
    LimitPair(mg_dl=11.0, mmol_l=0.6)
    """
    number = float(text)
    other = round(converted(number, unit, unit.other), unit.other.places)
    return LimitPair(number, other) if unit is Unit.MG_DL else LimitPair(other, number)
