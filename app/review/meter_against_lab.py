"""Results of the meter beside those of a laboratory, taken within minutes of each other.

No verdict on a meter from fewer pairs than the standard's study of lay users has.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from app.domain.clock import Period
from app.domain.glucose import MG_DL_PER_MMOL_L, Glucose, Unit
from app.domain.labs import GLUCOSE
from app.domain.person import Person
from app.domain.reading import STANDINGS, Doubt, Standing
from app.review.one_reading import glucose_at
from app.review.record import Record
from app.statistics.meter_accuracy import (
    FEWEST_FOR_A_VERDICT,
    MG_DL,
    MMOL_L,
    Accuracy,
    PairHeld,
    accuracy_of,
    hold_pair,
)
from app.store.columns import EXACT
from app.store.diary import Diary
from app.store.happenings import labs_of

# The standard's lay users tested within five minutes of the sample; up to fifteen is shown with
# its minutes, and is a rule of this diary.
NEAR_SECONDS = 15 * 60
SOON_SECONDS = 5 * 60
CAUTIONS = (
    "A handful of pairs cannot show whether a meter keeps a standard.",
    "Compare a fingertip result, fasting, within minutes of the blood sample.",
    "The meter has to read as plasma glucose, as the laboratory does.",
    "Ask your care team before you rely on it or set it aside.",
)
_NOT_MINE = STANDINGS.index(Standing.NOT_MINE)
_FACTOR = Fraction(str(MG_DL_PER_MMOL_L))


@dataclass(frozen=True, slots=True)
class LabPair:
    """One laboratory result and the reading nearest to it in time.

    `apart_s` the reading's time minus the laboratory's, in seconds · `held` both in `unit`, that of
    the laboratory, exact · `reading` the local id.
    """

    wall: str
    lab: Glucose
    reading: int
    meter: int
    glucose: Glucose
    apart_s: int
    unit: Unit
    held: PairHeld
    doubt: Doubt

    @property
    def is_soon(self) -> bool:
        """Whether they are as near in time as the standard asks for."""
        return abs(self.apart_s) <= SOON_SECONDS


@dataclass(frozen=True, slots=True)
class MeterAgainstLab:
    """The pairs of a period, the oldest first, and how they stand together.

    `unpaired` laboratory results of glucose have no reading within a quarter of an hour, or one off
    the scale · `together` is worked in mg/dL unless all pairs are in mmol/L.
    """

    person: Person
    pairs: tuple[LabPair, ...]
    unpaired: int
    together: Accuracy
    needed: int = FEWEST_FOR_A_VERDICT


def meter_against_lab(
    diary: Diary, record: Record, period: Period | None = None, *, meter: int | None = None
) -> MeterAgainstLab:
    """Pair laboratory results of glucose with readings; each reading is in one pair at most.

    Parameters
    ----------
    period : Period, optional
        Whole days of the laboratory results; all there are where it is not given.
    meter : int, optional
        Only readings of the meter with this local id.
    """
    columns = record.columns
    able = (columns.bound == EXACT) & (columns.standing != _NOT_MINE)
    if meter is not None:
        able &= columns.meter == meter
    places = np.flatnonzero(able)
    pairs: list[LabPair] = []
    taken: set[int] = set()
    labs = [each for each in labs_of(diary, record.person) if each.kind == GLUCOSE]
    if period is not None:
        first, last = period.first.toordinal(), period.last.toordinal()
        labs = [each for each in labs if first <= each.at.day <= last]
    for lab in labs:
        near = [
            at
            for at in places.tolist()
            if at not in taken and abs(int(columns.instant[at]) - lab.at.instant) <= NEAR_SECONDS
        ]
        if near:
            at = min(near, key=lambda one: (abs(int(columns.instant[one]) - lab.at.instant), one))
            taken.add(at)
            glucose, of_lab = glucose_at(columns, at), Glucose(lab.value, Unit(lab.unit))
            held = _held(of_lab, glucose)
            pairs.append(
                LabPair(
                    wall=lab.at.wall,
                    lab=of_lab,
                    reading=int(columns.id[at]),
                    meter=int(columns.meter[at]),
                    glucose=glucose,
                    apart_s=int(columns.instant[at]) - lab.at.instant,
                    unit=of_lab.unit,
                    held=held,
                    doubt=Doubt(int(columns.doubt[at])),
                )
            )
    return MeterAgainstLab(record.person, tuple(pairs), len(labs) - len(pairs), _together(pairs))


def _held(lab: Glucose, glucose: Glucose) -> PairHeld:
    limits = MMOL_L if lab.unit is Unit.MMOL_L else MG_DL
    return hold_pair(_exact(lab, lab.unit), _exact(glucose, lab.unit), limits)


def _together(pairs: list[LabPair]) -> Accuracy:
    if pairs and all(each.unit is Unit.MMOL_L for each in pairs):
        return accuracy_of([(each.held.reference, each.held.meter) for each in pairs], MMOL_L)
    both = [(_exact(each.lab, Unit.MG_DL), _exact(each.glucose, Unit.MG_DL)) for each in pairs]
    return accuracy_of(both)


def _exact(glucose: Glucose, unit: Unit) -> Fraction:
    number = Fraction(glucose.value or "0")
    if glucose.unit is unit:
        return number
    return number * _FACTOR if unit is Unit.MG_DL else number / _FACTOR
