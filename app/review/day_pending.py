"""A value that is typed and not saved yet, as a mark on the chart of its day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from app.domain.clock import diary_day
from app.domain.doubt import doubt_of
from app.domain.entry.records import Entry
from app.domain.glucose import Bound
from app.domain.levels import level_of
from app.domain.marks import MARKS
from app.domain.person import Person
from app.domain.reading import Doubt
from app.review.day_axis import from_start
from app.review.marks_drawn import LEVELS, TAILS, DrawnMarks
from app.store.columns import ABOVE, BELOW, EXACT

_SIDES = {Bound.EXACT: EXACT, Bound.BELOW: BELOW, Bound.ABOVE: ABOVE}


@dataclass(frozen=True, slots=True)
class Pending:
    """What is being typed: its day, its one mark (id 0), and its number as it will be shown."""

    day: date
    marks: DrawnMarks
    text: str


def pending_of(entry: Entry | None, person: Person) -> Pending | None:
    """The mark of a line that has a value and a time; None while either is open."""
    if entry is None or entry.glucose is None or entry.moment is None:
        return None
    glucose, moment = entry.glucose, entry.moment
    if glucose.bound not in _SIDES:
        return None
    day = diary_day(moment, person.day_start)
    minute = np.array([moment.minute], dtype=np.int16)
    return Pending(
        day=date.fromordinal(day),
        marks=DrawnMarks(
            id=np.zeros(1, dtype=np.int64),
            x=from_start(minute, person.day_start),
            value=np.array([glucose.in_unit(person.unit) or 0.0]),
            level=np.array([LEVELS.index(level_of(glucose))], dtype=np.int8),
            tail=TAILS[[MARKS.index(entry.mark)]],
            doubt=np.array([bool(_doubt(entry))]),
            apart=np.zeros(1, dtype=np.bool_),
            bound=np.array([_SIDES[glucose.bound]], dtype=np.int8),
            day=np.array([day], dtype=np.int32),
        ),
        text=glucose.shown(person.unit),
    )


def _doubt(entry: Entry) -> Doubt:
    return doubt_of(
        hands=entry.hands,
        site=entry.site,
        glucose=entry.glucose,
        mark=entry.mark,
        after_min=entry.after_min,
    )
