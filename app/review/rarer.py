"""The rarer figures of a period, folded away: worked out only where somebody asks for them.

Each has its source with the function that works it out. Some were made for continuous recording or
for other ways of testing; the help text of each says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from app.domain.clock import Period
from app.domain.glucose import MG_DL_PER_MMOL_L, LimitPair
from app.domain.marks import SLOTS
from app.review.counted import Counted, counted_of
from app.review.figure import Figure, Missing, too_little
from app.review.parts import no_spread, or_missing, quartiles_of, spread_of, spread_too_little
from app.review.record import Record
from app.statistics import enough
from app.statistics.days import days_with_readings
from app.statistics.grade import grade
from app.statistics.j_index import j_index
from app.statistics.m_value import m_value
from app.statistics.modd import modd
from app.statistics.risk import risk_indices
from app.store.columns import ABOVE, BELOW, MMOL_L

_NO_READINGS = "there are no readings"
# Cut points of GRADE in mmol/L (from memory), and what the limit tables print beside them.
_GRADE_LOW, _GRADE_HIGH = LimitPair(70, 3.9), LimitPair(140, 7.8)


@dataclass(frozen=True, slots=True)
class DailyDifference:
    """MODD in the person's unit, from how many pairs, and how many were off the scale."""

    value: Figure
    pairs: int
    off_scale_pairs: int


@dataclass(frozen=True, slots=True)
class MIndex:
    """The M-value, its reference in mg/dL, and whether the range of the readings is part of it."""

    value: Figure
    reference_mg_dl: float
    with_range: bool


@dataclass(frozen=True, slots=True)
class Concern:
    """Mean GRADE, and the shares of it (0 to 1) from lows, the middle and highs, where shown."""

    value: Figure
    from_low: float | None
    from_within: float | None
    from_high: float | None


@dataclass(frozen=True, slots=True)
class Rarer:
    """Spread and risk figures beyond the usual ones, of `n` readings.

    `off_scale_left_out` are missing from J-index and M-value; the others weigh them by their rule.
    """

    n: int
    within_day_cv: Figure
    iqr: Figure
    modd: DailyDifference
    j_index: Figure
    m_value: MIndex
    grade: Concern
    lbgi: Figure
    hbgi: Figure
    off_scale_left_out: int


def rarer_figures(record: Record, period: Period, *, now: datetime, minimum: bool = True) -> Rarer:
    """Work the rarer figures out for a period of whole diary days, both ends included.

    Parameters
    ----------
    record : Record
        Whose readings.
    period : Period
        Which diary days.
    now : datetime
        Aware; what lies in the future is left out.
    minimum : bool, default True
        Show a figure only from enough readings; else from the mathematical minimum on.
    """
    columns, at = record.between(period), int(now.timestamp())
    counted, _ = counted_of(columns, record.person.unit, now=at)
    return rarer_of(counted, minimum=minimum)


def rarer_of(counted: Counted, *, minimum: bool) -> Rarer:
    """The rarer figures of readings that were chosen already."""
    return Rarer(
        n=counted.n,
        within_day_cv=spread_of(counted, minimum=minimum).within_day_cv,
        iqr=_iqr(counted, minimum=minimum),
        modd=_modd(counted, minimum=minimum),
        j_index=_j_index(counted, minimum=minimum),
        m_value=_m_value(counted, minimum=minimum),
        grade=_grade(counted, minimum=minimum),
        **_risk(counted, minimum=minimum),
        off_scale_left_out=counted.off_scale,
    )


def _iqr(counted: Counted, *, minimum: bool) -> Figure:
    found = quartiles_of(counted, minimum=minimum)
    if isinstance(found.q1, float) and isinstance(found.q3, float):
        return found.q3 - found.q1
    for quarter in (found.q1, found.q3):
        if isinstance(quarter, Missing):
            return quarter
    return Missing("a quartile lies off the meter's scale")


def _modd(counted: Counted, *, minimum: bool) -> DailyDifference:
    in_slot = counted.where(counted.columns.mark < len(SLOTS))
    columns = in_slot.columns
    values = np.where(in_slot.exact, in_slot.values, np.inf)
    found = modd(values, columns.mark, columns.day, columns.minute)
    short = too_little(enough.MODD, there=found.pairs) if minimum else None
    why = "needs readings of one slot on two days in a row"
    return DailyDifference(
        short or or_missing(found.value, why), found.pairs, found.off_scale_pairs
    )


def _j_index(counted: Counted, *, minimum: bool) -> Figure:
    missing = no_spread(counted) or (spread_too_little(counted) if minimum else None)
    return missing or or_missing(j_index(_mg_dl(counted)), "needs 2 readings")


def _m_value(counted: Counted, *, minimum: bool) -> MIndex:
    found = m_value(_mg_dl(counted))
    missing = no_spread(counted) or (spread_too_little(counted) if minimum else None)
    return MIndex(
        missing or or_missing(found.value, _NO_READINGS),
        found.reference_mg_dl,
        found.with_range,
    )


def _grade(counted: Counted, *, minimum: bool) -> Concern:
    missing = spread_too_little(counted) if minimum else None
    if missing is not None:
        return Concern(missing, None, None, None)
    exact = counted.where(counted.exact)
    in_mmol = exact.columns.unit == MMOL_L
    below, above = _off_scale(counted)
    found = grade(
        np.where(in_mmol, exact.columns.entered, exact.columns.mg_dl / MG_DL_PER_MMOL_L),
        low=np.where(in_mmol, _GRADE_LOW.mmol_l, _GRADE_LOW.mg_dl / MG_DL_PER_MMOL_L),
        high=np.where(in_mmol, _GRADE_HIGH.mmol_l, _GRADE_HIGH.mg_dl / MG_DL_PER_MMOL_L),
        below=below,
        above=above,
    )
    return Concern(
        or_missing(found.mean, _NO_READINGS), found.from_low, found.from_within, found.from_high
    )


def _risk(counted: Counted, *, minimum: bool) -> dict[str, Figure]:
    days = days_with_readings(counted.columns.day)
    short = too_little(enough.RISK, there=counted.n, days=days) if minimum else None
    if short is not None:
        return {"lbgi": short, "hbgi": short}
    below, above = _off_scale(counted)
    found = risk_indices(_mg_dl(counted), below=below, above=above)
    return {
        "lbgi": or_missing(found.lbgi, _NO_READINGS),
        "hbgi": or_missing(found.hbgi, _NO_READINGS),
    }


def _mg_dl(counted: Counted) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return counted.columns.mg_dl[counted.exact]


def _off_scale(counted: Counted) -> tuple[int, int]:
    bound = counted.columns.bound
    return int(np.count_nonzero(bound == BELOW)), int(np.count_nonzero(bound == ABOVE))
