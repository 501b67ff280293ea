"""Pairs of meter and laboratory ready to draw: differences beside the printed limits."""

from __future__ import annotations

from dataclasses import dataclass

from app.domain.glucose import Unit, converted
from app.review.meter_against_lab import LabPair
from app.statistics.meter_accuracy import MG_DL, MMOL_L, PERCENT


@dataclass(frozen=True, slots=True)
class DrawnPair:
    """One pair: where it stands in the unit of the axis; what is said of it is in `pair`."""

    pair: LabPair
    reference: float
    difference: float


def drawn_pairs(pairs: tuple[LabPair, ...], unit: Unit) -> tuple[DrawnPair, ...]:
    """The pairs from the lowest laboratory result to the highest."""
    found = [
        DrawnPair(
            each,
            converted(float(each.held.reference), each.unit, unit),
            converted(float(each.held.difference), each.unit, unit),
        )
        for each in pairs
    ]
    return tuple(sorted(found, key=lambda each: each.reference))


def limit_line(unit: Unit, until: float) -> tuple[tuple[float, float], ...]:
    """The corners of the upper limit from 0 to `until`; the lower one is its mirror image.

    ISO 15197:2013, as printed in each unit: 15 mg/dL (0.83 mmol/L) below 100 mg/dL (5.55), 15 %
    from there on.

    >>> limit_line(Unit.MG_DL, 200.0)
    ((0.0, 15.0), (100.0, 15.0), (200.0, 30.0))
    """
    limits = MG_DL if unit is Unit.MG_DL else MMOL_L
    split, within = float(limits.split), float(limits.within)
    corners = [(0.0, within), (min(split, until), within)]
    if until > split:
        corners.append((until, until * PERCENT / 100))
    return tuple(corners)
