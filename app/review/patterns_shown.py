"""Everything that the Patterns page shows of a period before anybody asks, worked out in one go."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

import numpy as np

from app.domain.clock import Period, last_days
from app.domain.levels import Level
from app.review.marks_drawn import LEVELS, DrawnMarks
from app.review.patterns import Pattern, PatternsFound, patterns_of
from app.review.record import Record
from app.review.scale import GlucoseScale, glucose_scale
from app.review.testmap import DEFAULT_DAYS, MapOfTests, map_of_tests
from app.statistics.patterns import Step
from app.store.columns import EXACT
from app.store.diary import Diary

# What is seen again is told in full, each in a row of its own.
IN_FULL = (Step.REPEATING, Step.SEEN_AGAIN)


@dataclass(frozen=True, slots=True)
class PatternRow:
    """A pattern told in full, with both lines of its slot: where lows end and where highs begin.

    `marks` are all tests of the slot. What counts as a low or a high there has at least that level,
    also where the published levels would call it within: the goal of a morning lies lower.
    """

    pattern: Pattern
    low: float | None
    high: float | None
    marks: DrawnMarks


@dataclass(frozen=True, slots=True)
class PatternsShown:
    """What repeats, on one scale for all its rows, and the test map of the last 90 days."""

    found: PatternsFound
    rows: tuple[PatternRow, ...]
    scale: GlucoseScale
    tests: MapOfTests
    last_day: date | None


def patterns_shown(diary: Diary, record: Record, period: Period, *, now: datetime) -> PatternsShown:
    """Work out the page of a period; the test map ends with it and always has 90 days."""
    found = patterns_of(diary, record, period, now=now)
    of_slot = {(each.slot, each.direction): each for each in found.patterns}
    rows = tuple(
        _row(each, of_slot[each.slot, "low"], of_slot[each.slot, "high"])
        for step in IN_FULL
        for each in found.on_step(step)
    )
    return PatternsShown(
        found=found,
        rows=rows,
        scale=_scale(found, rows),
        tests=map_of_tests(record, last_days(DEFAULT_DAYS, period.last), now=now),
        last_day=record.last_day,
    )


def _row(pattern: Pattern, lows: Pattern, highs: Pattern) -> PatternRow:
    marks = pattern.marks
    within = marks.level == LEVELS.index(Level.IN_RANGE)
    level = marks.level.copy()
    for seen, shown in ((lows, Level.LOW), (highs, Level.HIGH)):
        level[within & np.isin(marks.id, [hit.id for hit in seen.hits])] = LEVELS.index(shown)
    return PatternRow(pattern, lows.line.value, highs.line.value, replace(marks, level=level))


def _scale(found: PatternsFound, rows: tuple[PatternRow, ...]) -> GlucoseScale:
    values: list[float] = []
    for row in rows:
        marks = row.marks
        exact = marks.value[marks.bound == EXACT]
        if exact.size:
            values += [float(np.min(exact)), float(np.max(exact))]
    limits = {line for row in rows for line in (row.low, row.high) if line is not None}
    return glucose_scale(values, limits, found.unit)
