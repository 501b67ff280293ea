"""Repairing a meter's clock: one change for a whole stretch, taken back by one undo.

Raw stamps are never touched. Where the known moments disagree nothing is chosen: they are kept, the
readings stand without a time, and their clock is in doubt until that is settled.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from app.domain.clock import Moment
from app.domain.clock_anchors import Anchor
from app.domain.errors import Refused
from app.domain.person import Person
from app.domain.stamped import Stamped
from app.store.clock_writes import (
    APPLIED,
    DISAGREES,
    PROPOSED,
    drop_anchors,
    link_repair,
    rewrite_repair,
    rewrite_times,
    write_anchors,
    write_repair,
)
from app.store.diary import Diary
from app.store.journal import Change
from app.work.clock_plan import RepairPlan
from app.work.told import told

REPAIRED, DISAGREED, MOVED = "clock_repair", "clock_disagrees", "clock_stay"
DOUBTED = "clock_doubt"


@dataclass(frozen=True, slots=True)
class Repaired:
    """What was done: its kind, to how many readings, and one sentence about it."""

    kind: str
    count: int
    sentence: str


def apply_repair(diary: Diary, person: Person, plan: RepairPlan, *, now: datetime) -> Repaired:
    """Write what a plan says, as one entry of the journal.

    Raises
    ------
    Refused
        Nothing would be different, or the readings changed since the plan was made.
    """
    moments: dict[int, Moment | None] = dict.fromkeys(each.id for each in plan.records)
    moments.update(
        (each.id, moment) for each, moment in zip(plan.records, plan.moments, strict=False)
    )
    kind = DISAGREED if plan.disagrees else MOVED if plan.kind == "stay" else REPAIRED
    words = _words(plan)
    with diary.change(kind, words, now=now, person=person) as change:
        repair_id = None if plan.kind == "stay" else _repair(change, plan)
        changed = rewrite_times(change, person, moments, repair_id=repair_id)
        if not changed and not plan.new_anchors:
            raise Refused("Nothing was different, so nothing was changed.")
    return Repaired(kind, len(plan.records), told(kind, words))


def keep_in_doubt(
    diary: Diary,
    person: Person,
    meter: tuple[int, str],
    records: Sequence[Stamped],
    *,
    shift_s: int | None,
    now: datetime,
) -> Repaired:
    """Leave the times of a stretch as they are, its clock in doubt until somebody knows more.

    Parameters
    ----------
    meter : tuple of int and str
        Local id and name.
    shift_s : int or None
        What is proposed, in seconds.
    """
    words = {"count": len(records), "meter": meter[1]}
    orders = [each.order for each in records]
    with diary.change(DOUBTED, words, now=now, person=person) as change:
        repair_id = write_repair(
            change,
            meter_id=meter[0],
            orders=(min(orders), max(orders)),
            shift_s=shift_s or 0,
            drift_ppm=0,
            state=PROPOSED,
        )
        link_repair(change, person, [each.id for each in records], repair_id)
    return Repaired(DOUBTED, len(records), told(DOUBTED, words))


def _repair(change: Change, plan: RepairPlan) -> int:
    state = DISAGREES if plan.disagrees else APPLIED
    drift = plan.fit.drift_ppm if plan.fit else 0
    if plan.earlier is None:
        orders = [each.order for each in plan.records]
        repair_id = write_repair(
            change,
            meter_id=plan.meter_id,
            orders=(min(orders), max(orders)),
            shift_s=plan.shift_s,
            drift_ppm=drift,
            state=state,
        )
    else:
        repair_id = plan.earlier.repair_id
        rewrite_repair(change, repair_id, shift_s=plan.shift_s, drift_ppm=drift, state=state)
    drop_anchors(change, plan.dropped)
    write_anchors(change, repair_id, [(each, _reading(plan, each)) for each in plan.new_anchors])
    return repair_id


def _reading(plan: RepairPlan, anchor: Anchor) -> int | None:
    """The reading that a known moment was told of: the one with that stamp, if it is alone."""
    found = [each.id for each in plan.records if each.shown == anchor.shown]
    return found[0] if len(found) == 1 else None


def _words(plan: RepairPlan) -> Mapping[str, Any]:
    said: dict[str, Any] = {"count": len(plan.records), "meter": plan.meter}
    if plan.zone is not None:
        said["zone"] = plan.zone
    if plan.moments:
        said["first"] = plan.moments[0].wall.replace("T", " ")
        said["last"] = plan.moments[-1].wall.replace("T", " ")
    return said
