"""Corwin's year as it really was: fifty-eight, one meter, mostly tested at waking, cycles."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache

from app.domain.glucose import Unit
from app.domain.marks import Mark
from sample_db.generator import Circumstances, Scale, Slot, Truth, generate, year_in_order

SEED = 20250902
SCALE = Scale(Unit.MG_DL, floor=40, least=30)
BLACK = "black"
SLOT_TABLE = (
    Slot(Mark.WAKING, 370, 10, 0.92, 158, 18),
    Slot(Mark.AFTER_BREAKFAST, 500, 10, 0.0, 196, 30),
    Slot(Mark.BEFORE_LUNCH, 735, 10, 0.05, 139, 20),
    Slot(Mark.AFTER_LUNCH, 860, 10, 0.03, 178, 28),
    Slot(Mark.BEFORE_EVENING_MEAL, 1085, 15, 0.10, 138, 22),
    Slot(Mark.AFTER_EVENING_MEAL, 1205, 15, 0.05, 189, 30),
    Slot(Mark.BEDTIME, 1335, 15, 0.20, 164, 24),
    Slot(Mark.NIGHT, 180, 5, 0.0, 128, 16, next_day=True),
)
VISITS = (date(2025, 11, 12), date(2026, 2, 6), date(2026, 5, 8), date(2026, 8, 7))
STEROID_COURSE = (date(2025, 12, 8), date(2025, 12, 14))
COLD = (date(2026, 1, 26), date(2026, 1, 28))
TRIP = (date(2026, 6, 27), date(2026, 7, 4))

# Fasting glucose that climbs between night and waking (128 to 158) is built into the bases.
_MONDAY, _WEDNESDAY, _FRIDAY, _SATURDAY, _SUNDAY = 0, 2, 4, 5, 6
_PAIRS = {
    (_MONDAY, Mark.WAKING): 0.85,
    (_MONDAY, Mark.AFTER_BREAKFAST): 0.85,
    (_WEDNESDAY, Mark.BEFORE_LUNCH): 0.80,
    (_WEDNESDAY, Mark.AFTER_LUNCH): 0.80,
    (_FRIDAY, Mark.BEFORE_EVENING_MEAL): 0.80,
    (_FRIDAY, Mark.AFTER_EVENING_MEAL): 0.80,
}
# Four, three and two days before a visit; before the first one he forgot.
_PROFILE_DAYS = {visit - timedelta(days=before) for visit in VISITS[1:] for before in (4, 3, 2)}
_NEW_PLAN_SHOWS = date(2026, 2, 16)
_AFTER_RIDE = {Mark.BEFORE_EVENING_MEAL: -28, Mark.BEDTIME: -14}
_STEROID = {
    Mark.AFTER_BREAKFAST: 40,
    Mark.AFTER_LUNCH: 70,
    Mark.BEFORE_EVENING_MEAL: 45,
    Mark.AFTER_EVENING_MEAL: 70,
    Mark.BEDTIME: 50,
}
_PAPER_MONTH = (date(2025, 9, 1), date(2025, 9, 30))


@cache
def truth() -> tuple[Truth, ...]:
    """The year's tests by time, before anything scripted happens to them."""
    return year_in_order(generate(SEED, SLOT_TABLE, SCALE, _circumstances))


def is_profile_day(day: date) -> bool:
    """Whether every slot of the day is tested, shortly before a visit."""
    return day in _PROFILE_DAYS


def is_ride_day(day: date) -> bool:
    """Whether he goes on his long bicycle ride: Saturdays."""
    return day.weekday() == _SATURDAY


def _circumstances(day: date, slot: Slot) -> Circumstances:
    present = _PAIRS.get((day.weekday(), slot.mark), slot.present)
    return Circumstances(
        present=1.0 if is_profile_day(day) else present,
        meter=BLACK,
        unmarked=0.12,
        effect=_effect(day, slot.mark),
        bias=0.90 if _within(day, *TRIP) else 1.0,
        steps_per_unit=0.2 if _within(day, *_PAPER_MONTH) else 1,
    )


def _effect(day: date, slot: Mark) -> float:
    effect = 0
    if slot is Mark.WAKING and day >= _NEW_PLAN_SHOWS:
        effect -= 22
    if is_ride_day(day):
        effect += _AFTER_RIDE.get(slot, 0)
    if slot is Mark.WAKING and day.weekday() == _SUNDAY:
        effect -= 15
    if _within(day, *STEROID_COURSE):
        effect += _STEROID.get(slot, 10)
    if _within(day, *COLD):
        effect += 40
    return effect


def _within(day: date, first: date, last: date) -> bool:
    return first <= day <= last
