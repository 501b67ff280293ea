"""Laboratory values beside the readings of the days before them, and why the two differ.

A laboratory's A1C is translated into an average; an average of finger-sticks is never turned into
an A1C, whatever somebody asks.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

import numpy as np

from app.domain.a1c import (
    HIGHEST_PERCENT,
    LOWEST_PERCENT,
    A1cUnit,
    TranslatedAverage,
    as_mmol_mol,
    as_percent,
    translated_average,
)
from app.domain.clock import Period, diary_day, last_days
from app.domain.glucose import Unit
from app.domain.marks import MARKS, Mark
from app.domain.numerals import plain_number
from app.domain.person import Person
from app.domain.written import Lab
from app.review.counted import Counted, counted_of
from app.review.figure import Mean, Missing
from app.review.figures import Trust, trust_of
from app.review.parts import Evened, evened_of, mean_of
from app.review.record import Record
from app.statistics.days import days_with_readings

# What an A1C looks back on: common practice; about half of it stems from the last 30 days (Diabetes
# Canada 2018).
DAYS_BEFORE = 90
_NIGHT = MARKS.index(Mark.NIGHT)


@dataclass(frozen=True, slots=True)
class ReadingsBefore:
    """The readings of the 90 diary days up to the blood test, its own day included."""

    period: Period
    n: int
    days_with_readings: int
    at_night: int
    in_doubt: int
    mean: Mean | Missing
    evened: Evened | Missing
    trust: Trust


@dataclass(frozen=True, slots=True)
class A1cValue:
    """One A1C as the laboratory printed it (`value`, `unit`), in both units, and translated.

    `percent` and `mmol_mol` are unrounded · `average` is the translation in the person's unit, or
    why there is none · `reasons` say what of this record makes it another measure than the A1C.
    """

    day: date
    value: str
    unit: A1cUnit
    percent: Decimal
    mmol_mol: Decimal
    average: TranslatedAverage | Missing
    before: ReadingsBefore
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LabGlucose:
    """A glucose result of a laboratory, as printed."""

    day: date
    value: str
    unit: Unit


@dataclass(frozen=True, slots=True)
class LabValues:
    """All laboratory values of a person, the oldest first; `unreadable` ones as they stand.

    `reasons` say why an A1C and an average of readings differ for everybody.
    """

    person: Person
    a1c: tuple[A1cValue, ...]
    glucose: tuple[LabGlucose, ...]
    unreadable: tuple[Lab, ...]
    reasons: tuple[str, ...]


def lab_values(record: Record, labs: tuple[Lab, ...], *, now: datetime) -> LabValues:
    """Set each laboratory value beside the readings before it.

    Parameters
    ----------
    record : Record
        Whose readings.
    labs : tuple of Lab
        As the store gives them, the oldest first.
    now : datetime
        Aware; readings in the future are left out.
    """
    a1c, glucose, unreadable = [], [], []
    for lab in labs:
        number = plain_number(lab.value)
        day = date.fromordinal(diary_day(lab.at, record.person.day_start))
        if number is None:
            unreadable.append(lab)
        elif lab.kind == "a1c" and lab.unit in tuple(A1cUnit):
            a1c.append(_a1c(record, day, number, A1cUnit(lab.unit), now))
        elif lab.kind == "glucose" and lab.unit in tuple(Unit):
            glucose.append(LabGlucose(day, number, Unit(lab.unit)))
        else:
            unreadable.append(lab)
    return LabValues(record.person, tuple(a1c), tuple(glucose), tuple(unreadable), _IN_GENERAL)


def _a1c(record: Record, day: date, value: str, unit: A1cUnit, now: datetime) -> A1cValue:
    percent = as_percent(Decimal(value), unit)
    before = _readings_before(record, day, now)
    average = translated_average(percent, record.person.unit)
    return A1cValue(
        day=day,
        value=value,
        unit=unit,
        percent=percent,
        mmol_mol=as_mmol_mol(Decimal(value), unit),
        average=average or Missing(_OUTSIDE),
        before=before,
        reasons=_reasons(before),
    )


def _readings_before(record: Record, day: date, now: datetime) -> ReadingsBefore:
    period = last_days(DAYS_BEFORE, day)
    counted, _ = counted_of(record.between(period), record.person.unit, now=int(now.timestamp()))
    return ReadingsBefore(
        period=period,
        n=counted.n,
        days_with_readings=days_with_readings(counted.columns.day),
        at_night=_how_many(counted, _NIGHT),
        in_doubt=int(np.count_nonzero(counted.columns.doubt)),
        mean=mean_of(counted, minimum=True),
        evened=evened_of(counted),
        trust=trust_of(counted),
    )


def _how_many(counted: Counted, mark: int) -> int:
    return int(np.count_nonzero(counted.columns.mark == mark))


def _reasons(before: ReadingsBefore) -> tuple[str, ...]:
    """What of this record makes its readings another measure than the A1C; no cause is claimed."""
    if not before.n:
        return ()
    moments = "1 moment" if before.n == 1 else f"{before.n} moments"
    night = {0: "none of them is", 1: "1 of them is"}.get(
        before.at_night, f"{before.at_night} of them are"
    )
    chosen = (
        f"The readings are {moments} on {before.days_with_readings} of {before.period.days} days, "
        f"at times that somebody chose; {night} marked night. An A1C adds up day and night."
    )
    if not before.trust.reasons:
        return (chosen,)
    return (chosen, f"How far to trust their average: {'; '.join(before.trust.reasons)}.")


_OUTSIDE = f"the table of the translation spans {LOWEST_PERCENT} to {HIGHEST_PERCENT} % alone"
# Nathan et al., Diabetes Care 2008;31:1473-1478; Diabetes Canada 2018; Juvenile Diabetes Research
# Foundation study group, Diabetes Care 2011;34:540-544 (read); American Diabetes Association,
# Standards of Care (read second-hand).
_LAST_30 = "About half of an A1C stems from the last 30 days; the averages weigh all 90 days alike."
_OTHERS = (
    "The translation comes from 507 adults with about 2,700 glucose values each. People differ: at "
    "an A1C of 6.9 to 7.1 % their mean glucose lay anywhere from 128 to 187 mg/dL (7.1 to 10.4 "
    "mmol/L)."
)
_RED_CELLS = (
    "An A1C also moves with what has nothing to do with glucose: how long red cells live, anaemia, "
    "a transfusion, kidney disease, pregnancy, variants of haemoglobin. The care team knows which "
    "matter."
)
_IN_GENERAL = (_LAST_30, _OTHERS, _RED_CELLS)
