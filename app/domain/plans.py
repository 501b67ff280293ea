"""Which tests are meant to happen: plans in force from a day on, and the rules in them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from app.domain.marks import MARKS, Mark
from app.domain.written import Span

# Codes of what can be done with one planned test alone.
SKIP, MOVE, ELSEWHERE = "skip", "move", "elsewhere"

# A recurrence is kept as content lines of RFC 5545; which days of the school year it speaks of is
# an experimental property, which other programs leave alone.
SCHOOL_LINE = "X-THIMBLEBOOK-DAYS"
ANY_DAY, SCHOOL_DAYS, FREE_DAYS = "any", "school", "free"

# Days on which no test is expected, by the kind of a stretch of days.
NOT_EXPECTED_KINDS = ("away", "journey", "sick", "paused")

# A meal that is said to begin, and the mark of the test after it.
MEALS = {
    "breakfast": Mark.AFTER_BREAKFAST,
    "lunch": Mark.AFTER_LUNCH,
    "evening meal": Mark.AFTER_EVENING_MEAL,
    "snack": Mark.AFTER_SNACK,
    "meal": Mark.AFTER_MEAL,
}
_BEGINS = {
    "breakfast": Mark.WAKING,
    "lunch": Mark.BEFORE_LUNCH,
    "evening meal": Mark.BEFORE_EVENING_MEAL,
}
NEAR_USUAL_MINUTES = 120  # a rule of this diary: so far from its usual time a meal is that one

AFTER_MEAL_MINUTES = 120  # counted from the start of the meal


@dataclass(frozen=True, slots=True)
class PlanException:
    """What was done with one planned test alone: `wall` is when it was planned, naive."""

    uid: UUID
    wall: datetime
    kind: str
    to_wall: datetime | None


@dataclass(frozen=True, slots=True)
class PlanRule:
    """A test that repeats.

    `recurs` are content lines of RFC 5545 (RRULE, RDATE, the school line); none is once. `start` is
    the wall time of the first one, naive; without a `zone` it is that of wherever the person is.
    With `relative_to` the time of day is the usual time of that mark and `offset_min` minutes.
    `before_min` and `after_min` say how far from its time a test still is this one.
    """

    mark: Mark | None
    recurs: tuple[str, ...]
    start: datetime
    zone: str | None = None
    relative_to: Mark | None = None
    offset_min: int = 0
    before_min: int = 60
    after_min: int = 60
    text: str | None = None
    exceptions: tuple[PlanException, ...] = ()
    id: int = 0  # 0 until it is kept
    uid: UUID | None = None

    @property
    def words(self) -> str:
        """What is to be tested: the person's own words, else the mark."""
        return self.text or (self.mark.words if self.mark else "test")

    @property
    def rrule(self) -> str | None:
        """The rule itself, without its name: "FREQ=DAILY"."""
        return _value(self.recurs, "RRULE")

    @property
    def dates(self) -> tuple[str, ...]:
        """The single dates on which it is due, as YYYYMMDD."""
        held = _value(self.recurs, "RDATE")
        return tuple(held.split(",")) if held else ()

    @property
    def school(self) -> str:
        """Which days of the school year it speaks of."""
        return (_value(self.recurs, SCHOOL_LINE) or ANY_DAY).casefold()


@dataclass(frozen=True, slots=True)
class Plan:
    """A version of a plan: in force from `from_day` to `to_day` (date ordinals, both included)."""

    name: str
    kind: str
    source: str | None
    from_day: int
    to_day: int | None
    rules: tuple[PlanRule, ...]
    id: int = 0  # 0 until it is kept
    uid: UUID | None = None

    def holds_on(self, day: int) -> bool:
        """Whether it is in force on a day (a date ordinal)."""
        return self.from_day <= day and (self.to_day is None or day <= self.to_day)


def agreeing(mark: Mark | None) -> frozenset[Mark]:
    """The marks that a reading may have to be the planned test of a mark; unmarked always may.

    "Before a meal" without saying which agrees with each meal; fasting is what waking is, at
    another hour.
    """
    if mark is None or mark in (Mark.NONE, Mark.CASUAL):
        return frozenset(MARKS)
    agree = {mark, Mark.NONE}
    if mark is Mark.BEFORE_MEAL:
        agree |= {each for each in MARKS if each.is_before_meal}
    elif mark is Mark.AFTER_MEAL:
        agree |= {each for each in MARKS if each.is_after_meal}
    elif mark in (Mark.WAKING, Mark.FASTING):
        agree |= {Mark.WAKING, Mark.FASTING, Mark.BEFORE_MEAL}
    elif mark.is_before_meal:
        agree.add(Mark.BEFORE_MEAL)
    elif mark.is_after_meal:
        agree.add(Mark.AFTER_MEAL)
    return frozenset(agree)


def meal_named(text: str) -> str | None:
    """The meal of a word: "lunch", "evening-meal", or the mark before or after it."""
    said = " ".join(text.casefold().replace("_", " ").replace("-", " ").split())
    said = said.removeprefix("before ").removeprefix("after ")
    return said if said in MEALS else None


def meal_at(minute: int, usual: Mapping[Mark, int]) -> str:
    """The meal that usually begins about a minute of the day; "meal" where none does."""
    near = [(abs(usual[mark] - minute), meal) for meal, mark in _BEGINS.items() if mark in usual]
    away, meal = min(near, default=(NEAR_USUAL_MINUTES + 1, "meal"))
    return meal if away <= NEAR_USUAL_MINUTES else "meal"


def is_school_day(day: int, spans: Sequence[Span]) -> bool:
    """Whether a day (a date ordinal) is one of school.

    Monday to Friday, in no holiday; where terms are written down, only in one of them.
    """
    if (day - 1) % 7 >= 5:  # ordinal 1 was a Monday
        return False
    terms = [span for span in spans if span.kind == "term"]
    if any(span.kind == "holiday" and span.covers(day) for span in spans):
        return False
    return not terms or any(span.covers(day) for span in terms)


def _value(lines: Sequence[str], name: str) -> str | None:
    for line in lines:
        head, _, value = line.partition(":")
        if head.partition(";")[0].upper() == name:
            return value
    return None
