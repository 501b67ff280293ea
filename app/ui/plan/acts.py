"""What can be done with one planned test, and which of it makes sense for its state."""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum
from typing import TYPE_CHECKING

from app.domain.plans import ELSEWHERE, MOVE, SKIP
from app.statistics.schedule.settle import DOUBLED, OPEN, State

if TYPE_CHECKING:
    from app.domain.person import Person
    from app.review.schedule import Planned
    from app.store.diary import Diary
    from app.work.plan import PlanChanged


class Act(StrEnum):
    """Something to do with one planned test."""

    WRITE = "write"  # its mark into the entry line
    SHOW = "show"  # the reading that it was done by
    SKIP = "skip"
    MOVE = "move"
    ELSEWHERE = "elsewhere"
    AGAIN = "again"


def acts_for(planned: Planned | None) -> tuple[Act, ...]:
    """What can be done with a planned test, the likeliest first."""
    if planned is None:
        return ()
    if planned.reading_id is not None:
        return (Act.SHOW,)
    write = (Act.WRITE,) if planned.settled.state in OPEN else ()
    if planned.rule is None or planned.settled.why == DOUBLED:
        return write
    at = planned.settled.occurrence.planned
    touched = any(each.wall == at for each in planned.rule.exceptions)
    again = (Act.AGAIN,) if touched else ()
    if planned.settled.state is State.MISSED:
        return (Act.ELSEWHERE, Act.SKIP, *again)
    if planned.settled.state in OPEN:
        return (*write, Act.ELSEWHERE, Act.MOVE, Act.SKIP, *again)
    return again


def do(
    diary: Diary,
    person: Person,
    planned: Planned,
    act: Act,
    *,
    now: datetime,
    to: datetime | None = None,
) -> PlanChanged:
    """Do it, in one transaction that can be taken back.

    Raises
    ------
    DiaryError
        It could not be done; nothing was changed.
    """
    from app.work.plan import expect_again, put_aside

    if planned.rule is None:
        raise ValueError(f"no plan asks for it: {planned.key}")
    at = planned.settled.occurrence.planned
    if act is Act.AGAIN:
        return expect_again(diary, person, planned.rule.id, at, now=now)
    kind = {Act.SKIP: SKIP, Act.MOVE: MOVE, Act.ELSEWHERE: ELSEWHERE}[act]
    return put_aside(diary, person, planned.rule.id, at, now=now, kind=kind, to=to)
