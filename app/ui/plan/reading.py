"""What the Plan page shows, read at once off the GUI thread."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from app.domain.clock import Period
from app.domain.follow_ups import FollowRule, ReminderWishes
from app.domain.plans import Plan
from app.domain.written import Span
from app.review.plan import PlanGrid, grid_of
from app.review.record import Record
from app.review.reminders import reminder_wishes
from app.review.schedule import Ground, Planned, ground_of
from app.store.diary import Diary
from app.store.follow_ups import follow_rules_of


@dataclass(frozen=True, slots=True)
class PlanRead:
    """The plan beside what was done, for the days shown, and what is reminded of.

    `spans` are the named days among them, `rules` and `wishes` the person's choices.
    """

    record: Record
    ground: Ground
    grid: PlanGrid
    spans: tuple[Span, ...]
    rules: tuple[FollowRule, ...]
    wishes: ReminderWishes

    @property
    def plans(self) -> tuple[Plan, ...]:
        """Every version there has been."""
        return self.ground.plans

    @property
    def is_paused(self) -> bool:
        """Whether the plan is paused today."""
        today = self.grid.today.toordinal()
        return any(span.kind == "paused" and span.covers(today) for span in self.ground.spans)

    def tests_of(self, place: int) -> list[Planned]:
        """The planned tests of one of the days, by time."""
        found = [each for row in self.grid.rows for each in row.cells[place]]
        return sorted(found, key=lambda each: (each.instant, each.key))


def read_plan_page(diary: Diary, record: Record, period: Period, now: datetime) -> PlanRead:
    """Read what the page shows of a period."""
    ground = ground_of(diary, record.person)
    first, last = period.first.toordinal(), period.last.toordinal()
    spans = tuple(
        span
        for span in ground.spans
        if span.first_day <= last and (span.last_day is None or span.last_day >= first)
    )
    return PlanRead(
        record=record,
        ground=ground,
        grid=grid_of(record, ground, period, now=now),
        spans=spans,
        rules=follow_rules_of(diary, record.person),
        wishes=reminder_wishes(diary, record.person),
    )
