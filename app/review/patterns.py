"""What repeats at one time of day: lows and highs of each slot on a ladder, with the evidence."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from app.domain.clock import Period
from app.domain.glucose import LimitPair, Unit
from app.domain.levels import HIGH_ABOVE
from app.domain.marks import MARKS, SLOTS, Mark
from app.domain.person import Person
from app.domain.safety import line_on
from app.domain.targets import Limit, in_force
from app.domain.written import Span
from app.review.at_once import AtOnce, at_once
from app.review.counted import Counted, counted_of
from app.review.figure import Missing, too_little
from app.review.judging import goals_of, is_high
from app.review.lanes import goal_of
from app.review.look_left import LookLeft, WrittenBeside, beside_readings, look_left
from app.review.low_spells import below_line
from app.review.marks_drawn import DrawnMarks, marks_drawn
from app.review.record import Record
from app.review.seen import Seen as SeenReading
from app.review.seen import all_seen
from app.statistics import enough
from app.statistics.days import days_with_readings
from app.statistics.patterns import HIGHS, LOWS, Seen, Step, seen_on_days
from app.statistics.proportion import Proportion, share_of
from app.store.diary import Diary
from app.store.questions import questions_asked
from app.store.safety import safety_lines
from app.store.spans import spans_between

DEFAULT_DAYS = 30
Direction = Literal["low", "high"]
_APART = ("sick", "set_aside")
_MINUTES = 1440


@dataclass(frozen=True, slots=True)
class Line:
    """Where lows or highs of a slot begin, in the person's unit.

    `value` is None where the goal has no upper end · `by_goal` whether it is that of a goal ·
    `included` whether a reading just on it is high ("less than 180") · `changed` whether another
    one was in force earlier in the period, by which the readings of its days are judged.
    """

    value: float | None
    by_goal: bool
    included: bool
    changed: bool


@dataclass(frozen=True, slots=True)
class Pattern:
    """Lows or highs of one slot: how often on how many days, how sure, and the evidence.

    `line` is what the period ends with: the low line or the upper end of the goal, else 180 (10.0)
    · `share` with its Wilson limits, `share_missing` why it is
    not shown in percent · `hits` the readings that show it, the oldest first · `marks` all tests of
    the slot in `x` days from the start of the period, the oldest at the left · `before` what was
    written in the hours before.
    """

    slot: Mark
    direction: Direction
    seen: Seen
    line: Line
    share: Proportion
    share_missing: Missing | None
    hits: tuple[SeenReading, ...]
    marks: DrawnMarks
    before: LookLeft

    @property
    def step(self) -> Step:
        """The step of the ladder."""
        return self.seen.step


@dataclass(frozen=True, slots=True)
class PatternsFound:
    """Everything that a period shows of what repeats, the strongest step first, lows before highs.

    `n` readings count on `days_with_readings` days; of these `in_doubt` and `on_days_apart` (sick
    days and days set aside, `apart`) are in no slot here, nor are the `unmarked` · `questions` were
    put: lows and highs of each slot, and `asked` ones of the person's own.
    """

    person: Person
    unit: Unit
    period: Period
    n: int
    days_with_readings: int
    unmarked: int
    in_doubt: int
    on_days_apart: int
    apart: tuple[Span, ...]
    at_once: tuple[AtOnce, ...]
    patterns: tuple[Pattern, ...]
    questions: int
    asked: int

    def on_step(self, step: Step) -> tuple[Pattern, ...]:
        """Those that stand on a step of the ladder."""
        return tuple(each for each in self.patterns if each.step is step)


def patterns_of(diary: Diary, record: Record, period: Period, *, now: datetime) -> PatternsFound:
    """Ask each slot of a period of whole diary days, both ends included, for lows and for highs.

    By written mark, of ordinary days and readings not in doubt, a day once. A low lies below the
    person's low line, a high above the goal of its mark in force on its day, without one above 180
    mg/dL (10.0 mmol/L).
    """
    person = record.person
    ends = period.first.toordinal(), period.last.toordinal()
    counted, _ = counted_of(record.between(period), person.unit, now=int(now.timestamp()))
    apart = tuple(
        span
        for span in spans_between(diary, person, *ends)
        if span.set_aside or span.kind in _APART
    )
    day, doubt = counted.columns.day, counted.columns.doubt != 0
    on_apart = np.zeros(counted.n, dtype=np.bool_)
    for span in apart:
        last = ends[1] if span.last_day is None else span.last_day
        on_apart |= (day >= span.first_day) & (day <= last)
    asking = _Asking(diary, record, period, counted, usable=~(doubt | on_apart))
    found = [asking.pattern(slot, direction) for slot in SLOTS for direction in ("low", "high")]
    steps, ways = list(Step), ("low", "high")
    found.sort(key=lambda one: (steps.index(one.step), ways.index(one.direction)))
    asked = len(questions_asked(diary, person))
    return PatternsFound(
        person=person,
        unit=person.unit,
        period=period,
        n=counted.n,
        days_with_readings=days_with_readings(day),
        unmarked=counted.unmarked,
        in_doubt=int(np.count_nonzero(doubt)),
        on_days_apart=int(np.count_nonzero(on_apart)),
        apart=apart,
        at_once=at_once(diary, record, period, now),
        patterns=tuple(found),
        questions=len(found) + asked,
        asked=asked,
    )


class _Asking:
    """Puts the same question to one slot after the other."""

    def __init__(
        self,
        diary: Diary,
        record: Record,
        period: Period,
        counted: Counted,
        *,
        usable: NDArray[np.bool_],
    ) -> None:
        self._record, self._period, self._counted = record, period, counted
        self._usable = usable
        self._lines = safety_lines(diary, record.person)
        self._goals = goals_of(counted, record.targets)
        self._hits = {
            "low": below_line(counted, self._lines),
            "high": is_high(counted, self._goals),
        }
        self._beside: WrittenBeside = beside_readings(
            diary, record.person, counted.columns, self._hits["low"]
        )

    def pattern(self, slot: Mark, direction: Direction) -> Pattern:
        """The lows or the highs of a slot."""
        of_slot = self._usable & (self._counted.columns.mark == MARKS.index(slot))
        tests = np.flatnonzero(of_slot)
        hit = self._hits[direction][tests]
        columns = self._counted.columns
        days = columns.day[tests]
        seen = seen_on_days(days, hit, LOWS if direction == "low" else HIGHS)
        return Pattern(
            slot=slot,
            direction=direction,
            seen=seen,
            line=self._low_line() if direction == "low" else self._high_line(slot),
            share=share_of(seen.count, seen.n),
            share_missing=too_little(enough.SHARE, there=seen.n, days=seen.n),
            hits=all_seen(columns, tests[hit].tolist(), self._record.person.day_start),
            marks=self._drawn(of_slot),
            before=self._before(slot, direction, tests, hit),
        )

    def _low_line(self) -> Line:
        first, last = self._period.first.toordinal(), self._period.last.toordinal()
        low = line_on(self._lines, last).low
        before = [
            line_on(self._lines, first),
            *(each for each in self._lines if first < each.from_day <= last),
        ]
        changed = any(each.low != low for each in before)
        return Line(low.in_unit(self._record.person.unit), False, False, changed)

    def _high_line(self, slot: Mark) -> Line:
        first, last = self._period.first.toordinal(), self._period.last.toordinal()
        sets = self._record.targets
        held = [in_force(sets, first), *(each for each in sets if first < each.from_day <= last)]
        limits: list[Limit | None] = [goal_of(each, slot) for each in held]
        goal = limits[-1]
        high: LimitPair | None = HIGH_ABOVE if goal is None else goal.high
        return Line(
            value=None if high is None else high.in_unit(self._record.person.unit),
            by_goal=goal is not None,
            included=goal is not None and goal.high_open,
            changed=any(_upper(limit) != _upper(goal) for limit in limits),
        )

    def _drawn(self, of_slot: NDArray[np.bool_]) -> DrawnMarks:
        columns = self._counted.columns.where(of_slot)
        start = self._record.person.day_start * 60
        minutes = (columns.minute.astype(np.float64) - start) % _MINUTES
        days = columns.day - self._period.first.toordinal()
        return marks_drawn(columns, self._record.person.unit, days + minutes / _MINUTES)

    def _before(
        self, slot: Mark, direction: Direction, tests: NDArray[np.intp], hit: NDArray[np.bool_]
    ) -> LookLeft:
        columns = self._counted.columns
        first_of: dict[int, tuple[int, int]] = {}
        others: dict[int, tuple[int, int]] = {}
        for at, is_hit in zip(tests.tolist(), hit.tolist(), strict=True):
            day = int(columns.day[at])
            (first_of if is_hit else others).setdefault(day, (int(columns.instant[at]), day))
        rest = (test for day, test in others.items() if day not in first_of)
        return look_left(self._beside, slot, first_of.values(), rest, with_lows=direction == "high")


def _upper(limit: Limit | None) -> tuple[LimitPair | None, bool]:
    return (HIGH_ABOVE, False) if limit is None else (limit.high, limit.high_open)
