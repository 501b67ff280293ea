"""Tilde's year as it really was: nine years old, two homes, three meters, swims in term."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from functools import cache

from app.domain.glucose import Unit
from app.domain.marks import EVENED_SLOTS, SLOTS, Mark
from sample_db.generator import (
    DAYS,
    FIRST_DAY,
    Circumstances,
    Scale,
    Slot,
    Truth,
    generate,
    year_in_order,
)

SEED = 20250901
SCALE = Scale(Unit.MMOL_L, floor=2.2, least=1.5)
BLUE, GREY, SPARE = "blue", "grey", "spare"  # at Odalys's, at school, at Bram's
SLOT_TABLE = (
    Slot(Mark.WAKING, 425, 12, 0.97, 7.6, 1.9),
    Slot(Mark.BEFORE_LUNCH, 730, 8, 0.85, 6.6, 1.9),
    Slot(Mark.AFTER_LUNCH, 855, 10, 0.20, 8.8, 2.4),
    Slot(Mark.BEFORE_EVENING_MEAL, 1100, 20, 0.95, 7.1, 2.2),
    Slot(Mark.AFTER_EVENING_MEAL, 1220, 15, 0.35, 9.0, 2.5),
    Slot(Mark.BEDTIME, 1260, 15, 0.90, 8.6, 2.4),
    Slot(Mark.NIGHT, 150, 30, 0.10, 7.4, 2.2, next_day=True),
)
TERMS = (
    (date(2025, 9, 8), date(2025, 12, 19)),
    (date(2026, 1, 5), date(2026, 3, 27)),
    (date(2026, 4, 13), date(2026, 6, 26)),
)
INFLUENZA = (date(2026, 2, 9), date(2026, 2, 12))
STOMACH_UPSET = (date(2026, 5, 19), date(2026, 5, 20))
LOW_LINE, VERY_LOW = 3.9, 3.3  # under the first a recheck, under the second two

_TUESDAY, _THURSDAY, _FRIDAY, _SATURDAY, _SUNDAY = 1, 3, 4, 5, 6
_SCHOOL_SLOTS = (Mark.BEFORE_LUNCH, Mark.AFTER_LUNCH)
_AFTER_SWIM = {Mark.BEFORE_EVENING_MEAL: -1.4, Mark.BEDTIME: -0.8, Mark.NIGHT: -3.2}
_NEW_PLAN_SHOWS = date(2026, 4, 29)
_BIASED = {  # strips past their date at school; strips that later failed their control test
    GREY: (date(2026, 1, 1), date(2026, 1, 23), 1.08),
    SPARE: (date(2026, 2, 28), date(2026, 3, 13), 1.12),
}


@cache
def truth() -> tuple[Truth, ...]:
    """The year's tests by time, rechecks included, before anything scripted happens to them."""
    drawn = generate(SEED, SLOT_TABLE, SCALE, _circumstances)
    return year_in_order(each for test in drawn for each in (test, *_rechecks(test)))


def is_term_day(day: date) -> bool:
    """Whether school is open: Monday to Friday within a term."""
    return day.weekday() <= _FRIDAY and any(_within(day, *term) for term in TERMS)


def is_swim_day(day: date) -> bool:
    """Whether she swims: Tuesdays and Thursdays in term."""
    return day.weekday() in (_TUESDAY, _THURSDAY) and is_term_day(day)


def swim_days() -> list[date]:
    """The days of the year on which she swims."""
    year = (FIRST_DAY + timedelta(days=number) for number in range(DAYS))
    return [day for day in year if is_swim_day(day)]


def is_at_brams(day: date, slot: Mark) -> bool:
    """Whether the slot falls in Bram's weekend: of even ISO weeks, Friday evening to Sunday."""
    if day.isocalendar().week % 2:
        return False
    if day.weekday() == _FRIDAY:
        return slot not in SLOTS[: SLOTS.index(Mark.BEFORE_EVENING_MEAL)]
    if day.weekday() == _SUNDAY:
        return slot in EVENED_SLOTS[: SLOTS.index(Mark.BEFORE_EVENING_MEAL)]
    return day.weekday() == _SATURDAY


def _circumstances(day: date, slot: Slot) -> Circumstances:
    at_brams = is_at_brams(day, slot.mark)
    meter = SPARE if at_brams else BLUE
    present = slot.present
    if is_term_day(day) and slot.mark in _SCHOOL_SLOTS:
        meter = GREY
        present = 0.95 if slot.mark is Mark.BEFORE_LUNCH else present
    if slot.mark is Mark.NIGHT and is_swim_day(day):
        present = 0.50
    return Circumstances(
        present=present,
        meter=meter,
        unmarked=0.50 if at_brams else 0.05,
        later_min=60 if slot.mark is Mark.WAKING and day.month in (7, 8) else 0,
        effect=_effect(day, slot.mark, at_brams=at_brams),
        bias=_bias(day, meter),
        steps_per_unit=10,
    )


def _effect(day: date, slot: Mark, *, at_brams: bool) -> float:
    effect = _AFTER_SWIM.get(slot, 0.0) if is_swim_day(day) else 0.0
    if at_brams and slot is Mark.AFTER_EVENING_MEAL:
        effect += 1.6
    if _within(day, *INFLUENZA):
        effect += 4.5
    if _within(day, *STOMACH_UPSET):
        effect -= 2.0
    if slot is Mark.WAKING and day >= _NEW_PLAN_SHOWS:
        effect -= 1.2
    return effect


def _bias(day: date, meter: str) -> float:
    first, last, bias = _BIASED.get(meter, (day, day, 1.0))
    return bias if _within(day, first, last) else 1.0


def _rechecks(test: Truth) -> Iterator[Truth]:
    if test.number >= LOW_LINE:
        return
    steps = ((16, 0.7), (33, 2.4)) if test.number < VERY_LOW else ((16, 1.8),)
    for minutes, rise in steps:
        yield replace(
            test,
            taken_at=test.taken_at + timedelta(minutes=minutes),
            value=f"{test.number + rise:.1f}",
            mark=Mark.NONE,
            is_recheck=True,
        )


def _within(day: date, first: date, last: date) -> bool:
    return first <= day <= last
