"""Where the numbers beside marks stand: over the mark, left of a low, never over one another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSizeF


@dataclass(frozen=True, slots=True)
class Wanted:
    """A number that wants a place: its mark's centre, its size in px, whether it is a low."""

    centre: QPointF
    size: QSizeF
    low: bool


def places_of(
    wanted: Sequence[Wanted], within: QRectF, mark_px: float, taken: Sequence[QRectF] = ()
) -> list[QRectF | None]:
    """A place for each number in the order given, None where there is none.

    Parameters
    ----------
    wanted : sequence of Wanted
        The numbers with their marks.
    within : QRectF
        What no number may leave.
    mark_px : float
        The side of the square that a mark takes.
    taken : sequence of QRectF
        What is there already.
    """
    marks = [_square(each.centre, mark_px) for each in wanted]
    filled = list(taken)
    found: list[QRectF | None] = []
    for at, each in enumerate(wanted):
        others = marks[:at] + marks[at + 1 :]
        place = next(
            (
                area
                for area in _tries(each, mark_px)
                if within.contains(area)
                and not any(area.intersects(one) for one in filled + others)
            ),
            None,
        )
        if place is not None:
            filled.append(place)
        found.append(place)
    return found


def _tries(wanted: Wanted, mark_px: float) -> list[QRectF]:
    """Over, left, right and under the mark; of a low, left comes first."""
    x, y = wanted.centre.x(), wanted.centre.y()
    wide, tall, away = wanted.size.width(), wanted.size.height(), mark_px / 2 + 1
    over = QRectF(x - wide / 2, y - away - tall, wide, tall)
    under = QRectF(x - wide / 2, y + away, wide, tall)
    left = QRectF(x - away - 3 - wide, y - tall / 2, wide, tall)
    right = QRectF(x + away + 3, y - tall / 2, wide, tall)
    return [left, over, right, under] if wanted.low else [over, left, right, under]


def _square(centre: QPointF, side: float) -> QRectF:
    return QRectF(centre.x() - side / 2, centre.y() - side / 2, side, side)
