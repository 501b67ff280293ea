"""One diary day, ready to draw: its readings, low spells, goals, events and slots."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

import numpy as np

from app.domain.clock import FUTURE_SECONDS, Period, moment_now, zone_named
from app.domain.glucose import Unit
from app.domain.levels import LOW_BELOW
from app.domain.marks import SLOTS
from app.domain.person import Person, today_of
from app.domain.written import Event
from app.review.counted import Counted, counted_of
from app.review.day_axis import from_start, slot_stretches
from app.review.day_rows import DayRow, day_rows
from app.review.day_slots import DAYS_BEFORE, SlotsOfDay, slots_of_day
from app.review.day_spells import LowSpell, day_spells
from app.review.lanes import Lanes, lanes_of
from app.review.marks_drawn import DrawnMarks, marks_drawn
from app.review.parts import is_low
from app.review.record import Record
from app.review.written import WrittenDown, told_on
from app.store.beside import Beside
from app.store.columns import Columns
from app.store.diary import Diary
from app.store.happenings import events_on
from app.store.spans import spans_on
from app.store.wishes import usual_times

# A stretch that says where a person lives, not what happened on a day.
_QUIET_SPANS = ("term",)
_MONTH = 31


@dataclass(frozen=True, slots=True)
class Happening:
    """An event on the axis of the day: minutes from its start; `end` is None for a moment."""

    kind: str
    text: str
    began: datetime
    ended: datetime | None
    start: float
    end: float | None


@dataclass(frozen=True, slots=True)
class DayView:
    """One day of a person.

    `marks` in the order of time, at their minute from the start of the day by wall time · `rows`
    the same readings and those without a value, the newest first · `n` how many count, `left_out`
    the others by reason · `in_no_slot` how many of the n have no mark of a slot · `hours` that the
    day has by the clocks of its zone · `now` the minute of the axis, where the day is today, and
    `now_wall` the time there · `spans` names of stretches that it lies in · `told` help, tests and
    changes of the day · `nearest` the day of the last reading, None in an empty diary.
    """

    person: Person
    day: date
    is_today: bool
    unit: Unit
    marks: DrawnMarks
    rows: tuple[DayRow, ...]
    n: int
    left_out: dict[str, int]
    in_no_slot: int
    hours: int
    now: float | None
    now_wall: datetime
    spells: tuple[LowSpell, ...]
    lanes: Lanes
    happenings: tuple[Happening, ...]
    spans: tuple[str, ...]
    told: tuple[WrittenDown, ...]
    slots: SlotsOfDay
    nearest: date | None

    @property
    def is_empty_diary(self) -> bool:
        """Whether the person has no reading at all yet."""
        return self.nearest is None


def day_view(diary: Diary, record: Record, beside: Beside, day: date, *, now: datetime) -> DayView:
    """Everything that the page of one day shows.

    Parameters
    ----------
    diary : Diary
        Asked for the events of the day and the usual times.
    record : Record
        The person's readings and goals.
    beside : Beside
        What is written beside these readings.
    day : date
        The diary day.
    now : datetime
        The aware time.
    """
    person, unit, ordinal = record.person, record.person.unit, day.toordinal()
    at = int(now.timestamp())
    here = record.columns.between(ordinal, ordinal)
    around = _around(record, ordinal, at)
    counted, left_out = counted_of(here, unit, now=at)
    left_out.pop("undated", None)  # what has no time is of no day
    before, _ = counted_of(record.columns.between(ordinal - DAYS_BEFORE, ordinal - 1), unit, now=at)
    is_today = day == today_of(person, now)
    moment = moment_now(now, person.zone)
    minute = np.array([moment.minute], dtype=np.int16)
    stretches = slot_stretches(usual_times(diary, person), person.day_start)
    events = (_happening(event, day, person) for event in events_on(diary, person, ordinal))
    spans = (span for span in spans_on(diary, person, ordinal) if span.kind not in _QUIET_SPANS)
    return DayView(
        person=person,
        day=day,
        is_today=is_today,
        unit=unit,
        marks=_marks(here, person),
        rows=day_rows(here, person, beside),
        n=counted.n,
        left_out=left_out,
        in_no_slot=int(np.count_nonzero(counted.columns.mark >= len(SLOTS))),
        hours=hours_of(day, person),
        now=float(from_start(minute, person.day_start)[0]) if is_today else None,
        now_wall=moment.local,
        spells=day_spells(around, ordinal, day_start=person.day_start, now=at),
        lanes=lanes_of(
            record.targets,
            Period(day, day),
            stretches,
            unit,
            low_line=LOW_BELOW.in_unit(unit),
        ),
        happenings=tuple(events),
        spans=tuple(span.text or span.kind for span in spans),
        told=told_on(diary, person, ordinal),
        slots=slots_of_day(here, before, ordinal, record.targets),
        nearest=_last_day(record, at),
    )


def hours_of(day: date, person: Person) -> int:
    """How many hours a diary day has: 23 or 25 where the clocks of its zone change in it."""
    zone = zone_named(person.zone)
    starts = [
        datetime.combine(each, time(person.day_start), tzinfo=zone).timestamp()
        for each in (day, day + timedelta(days=1))
    ]
    return round((starts[1] - starts[0]) / 3600)


def _around(record: Record, day: int, now: int) -> Counted:
    """What counts from the day before on: to the first month's end if spells are over by then.

    The value after a low may be far away: then it is everything.
    """
    unit, last = record.person.unit, int(record.columns.day.max(initial=day))
    found, _ = counted_of(record.columns.between(day - 1, day + _MONTH), unit, now=now)
    if found.n and found.columns.day[-1] > day and not is_low(found)[-1]:
        return found
    return counted_of(record.columns.between(day - 1, last), unit, now=now)[0]


def _marks(here: Columns, person: Person) -> DrawnMarks:
    """The marks in the order of time: where the clocks went back, it is not that of the axis."""
    marks = marks_drawn(here, person.unit, from_start(here.minute, person.day_start))
    places = {row: at for at, row in enumerate(here.id.tolist())}
    return marks.where(np.argsort([places[row] for row in marks.id.tolist()], kind="stable"))


def _happening(event: Event, day: date, person: Person) -> Happening:
    begun = event.start.local
    start = _on_axis(begun, day, person)
    ended = None
    if event.end is not None and event.end > event.start.instant:
        ended = begun + timedelta(seconds=event.end - event.start.instant)
    return Happening(
        kind=event.kind,
        text=event.text or event.kind,
        began=begun,
        ended=ended,
        start=start,
        end=None if ended is None else _on_axis(ended, day, person),
    )


def _on_axis(wall: datetime, day: date, person: Person) -> float:
    begins = datetime.combine(day, time(person.day_start))
    return (wall - begins).total_seconds() / 60


def _last_day(record: Record, now: int) -> date | None:
    columns = record.columns
    till = int(np.searchsorted(columns.instant, now + FUTURE_SECONDS, side="right"))
    if till:
        return date.fromordinal(int(columns.day[till - 1]))
    return date.fromordinal(int(columns.day[0])) if len(columns) else None
