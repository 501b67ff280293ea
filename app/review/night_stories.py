"""Nights as stories of three parts, bedtime, night and waking: one by one, and summed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.marks import MARKS, Mark
from app.domain.person import Person
from app.review.counted import Counted, counted_of
from app.review.figure import Missing, too_little
from app.review.low_spells import below_line
from app.review.nights import in_night
from app.review.noted import noted_from
from app.review.one_night import Night, NightTeller, Told
from app.review.record import Record
from app.statistics import enough
from app.statistics.night_stories import NightReading, Part, night_stories
from app.statistics.pairs import Rise, rise_of
from app.store.columns import BELOW
from app.store.diary import Diary
from app.store.happenings import events_between
from app.store.safety import safety_lines

_PARTS = {Mark.BEDTIME: Part.BEDTIME, Mark.NIGHT: Part.NIGHT, Mark.WAKING: Part.WAKING}
# In the night such readings are of the night too: a recheck of a low seldom has a mark.
_OPEN_MARKS = (Mark.NONE, Mark.CASUAL)
_NOON = 12 * 60


@dataclass(frozen=True, slots=True)
class HighWakings:
    """Of `n` wakings above their goal: how bedtime was, and what the night showed, where known."""

    n: int
    bedtime_high: int
    bedtime_not_high: int
    no_bedtime: int
    told: dict[Told, int]


@dataclass(frozen=True, slots=True)
class NightsFound:
    """The nights that end on days of a period and have a value, and their sum.

    `change` sums bedtime to waking, `rise` the night's lowest to waking of nights with a value in
    the night, `missing` why median and mean of the one are not shown and `rise_missing` of the
    other · `told` counts nights by what they show.
    """

    person: Person
    unit: Unit
    period: Period
    nights: tuple[Night, ...]
    with_all: int
    with_night: int
    change: Rise
    missing: Missing | None
    within_error: int
    rise: Rise
    rise_missing: Missing | None
    told: dict[Told, int]
    high_wakings: HighWakings


def nights_of(
    diary: Diary, record: Record, period: Period, *, now: datetime, minimum: bool = True
) -> NightsFound:
    """Tell the nights that end on a day of the period, both ends included.

    Bedtime and waking go by written mark; the night has readings with its mark and those without a
    meal's mark from midnight to five, between the two.
    """
    person = record.person
    first, last = period.first.toordinal(), period.last.toordinal()
    counted, _ = counted_of(
        record.columns.between(first - 1, last), person.unit, now=int(now.timestamp())
    )
    stories = [
        each
        for each in night_stories(_night_readings(counted, person.day_start))
        if first <= each.night + 1 <= last
    ]
    events = noted_from(events_between(diary, person, first - 1, last), ())
    food = sorted((*events.meals, *events.snacks))
    teller = NightTeller(
        counted, record, low=below_line(counted, safety_lines(diary, person)), food=food
    )
    nights = tuple(teller.night(each) for each in stories)
    changes = [night.change for night in nights if night.change is not None]
    rises = [night.rise for night in nights if night.rise is not None]
    return NightsFound(
        person=person,
        unit=person.unit,
        period=period,
        nights=nights,
        with_all=sum(night.has_all for night in nights),
        with_night=sum(bool(night.between) for night in nights),
        change=rise_of(changes),
        missing=too_little(enough.RISE, there=len(changes)) if minimum else None,
        within_error=sum(night.within_error for night in nights),
        rise=rise_of(rises),
        rise_missing=too_little(enough.RISE, there=len(rises)) if minimum else None,
        told=_counted_by(nights),
        high_wakings=_high_wakings(nights),
    )


def _night_readings(counted: Counted, day_start: int) -> list[NightReading]:
    columns = counted.columns
    is_open = np.isin(columns.mark, [MARKS.index(mark) for mark in _OPEN_MARKS])
    chosen = np.isin(columns.mark, [MARKS.index(mark) for mark in _PARTS])
    chosen |= is_open & in_night(columns)
    value = counted.values.copy()
    value[~counted.exact] = np.where(columns.bound == BELOW, -np.inf, np.inf)[~counted.exact]
    found = []
    for at in np.flatnonzero(chosen).tolist():
        part = _PARTS.get(MARKS[int(columns.mark[at])], Part.NIGHT)
        minute = int(columns.minute[at])
        calendar = int(columns.day[at]) + (minute < day_start * 60)
        # What comes after midnight is of the evening before; so is every waking.
        night = calendar - (part is Part.WAKING or minute < _NOON)
        found.append(NightReading(night, part, int(columns.instant[at]), float(value[at]), at))
    return found


def _high_wakings(nights: Sequence[Night]) -> HighWakings:
    high = [night for night in nights if night.waking_high]
    return HighWakings(
        n=len(high),
        bedtime_high=sum(night.bedtime_high is True for night in high),
        bedtime_not_high=sum(night.bedtime_high is False for night in high),
        no_bedtime=sum(night.bedtime_high is None for night in high),
        told=_counted_by(high),
    )


def _counted_by(nights: Sequence[Night]) -> dict[Told, int]:
    counts = Counter(night.told for night in nights)
    return {told: counts[told] for told in Told if counts[told]}
