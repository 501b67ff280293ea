"""From the marks of a chart to what one of them has to tell."""

from __future__ import annotations

from app.domain.glucose import Bound
from app.domain.reading import Standing
from app.look.marks import MarkLook
from app.look.shapes import Tail
from app.review.marks_drawn import LEVELS, DrawnMarks
from app.store.columns import ABOVE, BELOW

_BOUNDS = {BELOW: Bound.BELOW, ABOVE: Bound.ABOVE}


def look_at(marks: DrawnMarks, at: int, *, tail: bool = True) -> MarkLook:
    """What the mark in one place has to tell; without a tail where all of them have the same."""
    return MarkLook(
        LEVELS[marks.level[at]],
        Tail(int(marks.tail[at])) if tail else Tail.NONE,
        bool(marks.doubt[at]),
        Standing.SET_ASIDE if marks.apart[at] else Standing.COUNTED,
        _BOUNDS.get(int(marks.bound[at]), Bound.EXACT),
    )
