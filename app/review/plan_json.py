"""The plan, what is due and what was kept, as plain JSON values."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

from app.domain.plans import Plan, PlanRule
from app.review.plan import DueNow, PlanGrid, Timeline
from app.review.plan_gaps import PlanGaps
from app.review.plan_kept import Count, Kept
from app.review.plan_words import repeats_words, state_words, time_words
from app.review.schedule import Planned


def plan_as_json(plan: Plan) -> dict[str, Any]:
    """A version of a plan with its tests."""
    return {
        "uid": str(plan.uid) if plan.uid else None,
        "name": plan.name,
        "kind": plan.kind,
        "source": plan.source,
        "from": _day(plan.from_day),
        "to": None if plan.to_day is None else _day(plan.to_day),
        "tests": [_rule(each) for each in plan.rules],
    }


def planned_as_json(planned: Planned) -> dict[str, Any]:
    """One planned test: when, what, and what became of it."""
    settled = planned.settled
    return {
        "key": planned.key,
        "wall": planned.wall.isoformat(timespec="minutes"),
        "planned": settled.occurrence.planned.isoformat(timespec="minutes"),
        "utc": _utc(planned.instant),
        "hour": settled.occurrence.hour,
        "mark": planned.mark.value if planned.mark else None,
        "what": planned.words,
        "state": settled.state.value,
        "overdue": settled.is_overdue,
        "reading": planned.reading_id,
        "minutes_late": settled.late,
        "why": settled.why,
        "words": state_words(planned),
    }


def timeline_as_json(found: Timeline) -> dict[str, Any]:
    """One day with its planned tests."""
    return {
        "day": found.day.isoformat(),
        "tests": [planned_as_json(each) for each in found.tests],
        "kept": kept_as_json(found.kept),
    }


def due_as_json(found: DueNow) -> dict[str, Any]:
    """What is due, to come and passed; `wake_up` is when to look again."""
    return {
        "at": found.at.isoformat(timespec="seconds"),
        "due": [planned_as_json(each) for each in found.due],
        "to_come": [planned_as_json(each) for each in found.to_come],
        "passed": [planned_as_json(each) for each in found.passed],
        "wake_up": None if found.wake_up is None else _utc(found.wake_up),
    }


def grid_as_json(found: PlanGrid) -> dict[str, Any]:
    """Days of the plan: what was kept, where it slips, and what the plan can't see."""
    return {
        "period": {
            "first": found.period.first.isoformat(),
            "last": found.period.last.isoformat(),
            "days": found.period.days,
        },
        "in_force": [plan_as_json(each) for each in found.in_force],
        "versions": found.versions,
        "kept": kept_as_json(found.kept),
        "extra": {
            row.mark.value: sum(row.extras) for row in found.rows if row.mark and any(row.extras)
        },
        "gaps": None if found.gaps is None else _gaps(found.gaps),
    }


def kept_as_json(kept: Kept) -> dict[str, Any]:
    """Counts of planned and kept, by mark and day of the week (Monday first)."""
    return {
        **_count(kept.all),
        "open": kept.still_open,
        "not_expected": kept.not_expected,
        "by_mark": {mark.value if mark else "any": _count(n) for mark, n in kept.by_mark.items()},
        "by_weekday": {str(day): _count(n) for day, n in kept.by_weekday.items()},
        "slips": list(kept.slips),
    }


def _gaps(gaps: PlanGaps) -> dict[str, Any]:
    return {
        "first": gaps.period.first.isoformat(),
        "last": gaps.period.last.isoformat(),
        "planned": {slot.value: list(counts) for slot, counts in gaps.counts.items()},
        "unseen": list(gaps.unseen),
    }


def _rule(rule: PlanRule) -> dict[str, Any]:
    return {
        "uid": str(rule.uid) if rule.uid else None,
        "mark": rule.mark.value if rule.mark else None,
        "what": rule.words,
        "recurrence": list(rule.recurs),
        "start": rule.start.isoformat(timespec="minutes"),
        "zone": rule.zone,
        "follows": rule.relative_to.value if rule.relative_to else None,
        "minutes": rule.offset_min if rule.relative_to else None,
        "before": rule.before_min,
        "after": rule.after_min,
        "repeats": repeats_words(rule),
        "time": time_words(rule),
    }


def _count(count: Count) -> dict[str, int]:
    return {"planned": count.planned, "kept": count.kept, "late": count.late}


def _day(ordinal: int) -> str:
    return date.fromordinal(ordinal).isoformat()


def _utc(instant: int) -> str:
    return f"{datetime.fromtimestamp(instant, UTC):%Y-%m-%dT%H:%M:%SZ}"
