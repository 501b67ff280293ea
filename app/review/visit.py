"""Everything that the page for an appointment says of a period, worked out in one go."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.levels import HIGH_ABOVE, LOW_BELOW
from app.domain.marks import SLOTS, Mark
from app.domain.person import Person
from app.domain.targets import TargetSet, in_force
from app.domain.written import ChangeMark, KetoneTest, Span
from app.review.counted import Counted
from app.review.figures import Figures, figures
from app.review.lab import A1cValue, lab_values
from app.review.lows import Lows, lows_of
from app.review.marks_drawn import DrawnMarks, levels_of, marks_of
from app.review.modal_day import ModalDay, modal_day
from app.review.night_stories import NightsFound, nights_of
from app.review.pairs import PairsFound, pairs_of
from app.review.plan_kept import Kept
from app.review.record import Record
from app.review.testmap import MapOfTests, map_of_tests
from app.review.visit_parts import (
    by_goal,
    control_tests,
    counted_in,
    labs_beside,
    longest_gap,
    other_names,
    plan_kept,
)
from app.store.alongside import (
    KitDate,
    Repaired,
    Visit,
    kit_dates,
    repaired_between,
    visits_between,
)
from app.store.asks import Ask, asks_of
from app.store.diary import Diary
from app.store.happenings import ketones_between, labs_of
from app.store.spans import changes_between, spans_between

MOST_ASKED = 5  # a rule of this diary: what a visit can settle
_VISIT_REACH = 14  # days after the last day in which a visit is the one that the page is for
_A_YEAR = 366
_ROOM = 0.08
_OTHER = {Unit.MG_DL: Unit.MMOL_L, Unit.MMOL_L: Unit.MG_DL}


@dataclass(frozen=True, slots=True)
class VisitPage:
    """What a clinician is told, in the order of looking.

    `second` is the other unit, given in brackets throughout · `visit` the one the page is for ·
    `controls` control tests of the kit, in no figure · `kept` of the plan, None where nothing was
    planned · `gap` the longest stretch of days without a reading · `waking` its readings as marks,
    x in days from the first · `slot_ends` and `waking_ends` how far the axes of their charts reach
    · `labs` those of the period and of the visit, and the last before it · `asks` open questions,
    at most five; `more_asks` stand behind them · `others` names that strangers must not see.
    """

    person: Person
    unit: Unit
    second: Unit
    period: Period
    made: datetime
    visit: Visit | None
    figures: Figures
    lows: Lows
    ketones: tuple[KetoneTest, ...]
    controls: int
    kept: Kept | None
    gap: Period | None
    by_slot: ModalDay
    slot_ends: tuple[float, float]
    waking: DrawnMarks
    waking_ends: tuple[float, float]
    pairs: PairsFound
    nights: NightsFound
    tests: MapOfTests
    changes: tuple[ChangeMark, ...]
    spans: tuple[Span, ...]
    kit: tuple[KitDate, ...]
    repaired: tuple[Repaired, ...]
    labs: tuple[A1cValue, ...]
    targets: TargetSet | None
    asks: tuple[Ask, ...]
    more_asks: int
    others: tuple[str, ...]

    @property
    def many_years(self) -> bool:
        """Whether a day without its year could be another one."""
        return self.period.days > _A_YEAR

    def of_mark(self, mark: Mark) -> int:
        """How many readings have a mark."""
        return next((each.n for each in self.figures.by_mark if each.mark is mark), 0)


def visit_page(diary: Diary, record: Record, period: Period, *, now: datetime) -> VisitPage:
    """Work out the page of a period of whole diary days, both ends included.

    Parameters
    ----------
    now : datetime
        Aware; what lies in the future is left out, but for the visit that the page is for.
    """
    person = record.person
    first, last = period.first.toordinal(), period.last.toordinal()
    visits = visits_between(diary, person, first, last + _VISIT_REACH)
    coming = [each for each in visits if each.day >= last] or list(visits)
    visit = coming[0] if coming and coming[0].day >= last else (coming[-1] if coming else None)
    labs = lab_values(record, labs_of(diary, person), now=now).a1c
    until = date.fromordinal(max(last, visit.day)) if visit else period.last
    counted = counted_in(record, period, now)
    by_slot = modal_day(record, period, now=now, view="slots")
    by_slot = replace(by_slot, marks=by_goal(by_slot.marks, counted, record))
    waking = by_goal(_waking(counted, period), counted, record)
    goal = next((step for step in by_slot.lanes.steps if Mark.WAKING in step.marks), None)
    of_waking = [] if goal is None else [each for each in (goal.low, goal.high) if each is not None]
    low, high = LOW_BELOW.in_unit(person.unit), HIGH_ABOVE.in_unit(person.unit)
    open_asks = [each for each in asks_of(diary, person) if each.done_at is None]
    return VisitPage(
        person=person,
        unit=person.unit,
        second=_OTHER[person.unit],
        period=period,
        made=now,
        visit=visit,
        figures=figures(record, period, now=now),
        lows=lows_of(diary, record, period, now=now),
        ketones=ketones_between(diary, person, first, last),
        controls=control_tests(diary, person, period),
        kept=plan_kept(diary, record, period, now=now),
        gap=longest_gap(counted, period, now=now),
        by_slot=by_slot,
        slot_ends=_ends(by_slot.marks, (low, high, *by_slot.lanes.limits)),
        waking=waking,
        waking_ends=_ends(waking, of_waking or (low, high)),
        pairs=pairs_of(diary, record, period, now=now),
        nights=nights_of(diary, record, period, now=now),
        tests=map_of_tests(record, period, now=now),
        changes=changes_between(diary, person, first, last),
        spans=spans_between(diary, person, first, last),
        kit=kit_dates(diary, person, first, last),
        repaired=repaired_between(diary, person, first, last),
        labs=labs_beside(labs, period, until),
        targets=in_force(record.targets, last),
        asks=tuple(open_asks[:MOST_ASKED]),
        more_asks=max(0, len(open_asks) - MOST_ASKED),
        others=other_names(diary, person),
    )


def _ends(marks: DrawnMarks, limits: Iterable[float]) -> tuple[float, float]:
    """How far an axis has to reach for every reading and limit, with a little room at both ends."""
    there = [*marks.value[~marks.apart].tolist(), *limits]
    low, high = min(there), max(there)
    room = _ROOM * (high - low)
    return max(0.0, low - room), high + room


def _waking(counted: Counted, period: Period) -> DrawnMarks:
    """The waking readings, where each is days from the first day of the period."""
    waking = counted.where(counted.columns.mark == SLOTS.index(Mark.WAKING))
    columns = waking.columns
    x = (columns.day - period.first.toordinal()) + columns.minute / 1440
    return marks_of(waking, x, levels_of(waking))
