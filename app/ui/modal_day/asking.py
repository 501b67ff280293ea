"""What is to be shown of a period, and the modal day for it, asked off the GUI thread."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from app.domain.clock import Period
from app.review.modal_day import ModalDay, Weekdays, modal_day
from app.review.modal_day_marks import View
from app.review.record import Record
from app.store.diary import Diary
from app.store.wishes import usual_times


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be shown of a period."""

    period: Period
    weekdays: Weekdays = "all"
    view: View = "clock"
    start_hour: int | None = None
    by_clock: bool = False
    with_doubtful: bool = True
    with_rechecks: bool = True


def ask(diary: Diary, record: Record, wish: Wish, now: datetime) -> ModalDay:
    """Work out the modal day that is wished."""
    return modal_day(
        record,
        wish.period,
        now=now,
        usual=usual_times(diary, record.person),
        weekdays=wish.weekdays,
        view=wish.view,
        start_hour=wish.start_hour,
        by_clock=wish.by_clock,
        with_doubtful=wish.with_doubtful,
        with_rechecks=wish.with_rechecks,
    )
