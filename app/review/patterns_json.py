"""Test map, pairs, nights and patterns as plain JSON values: unrounded, in the person's unit."""

from __future__ import annotations

from typing import Any

from app.domain.clock import Period
from app.review.testmap import MapOfTests


def map_as_json(found: MapOfTests) -> dict[str, Any]:
    """The counts of each slot from Monday to Sunday, and the blind spots."""
    return {
        "person": found.person.name,
        "period": period_as_json(found.period),
        "n": found.n,
        "days_with_readings": found.days_with_readings,
        "weekdays": list(found.weekdays),
        "slots": {
            row.slot.value: {
                "n": row.n,
                "by_weekday": list(row.counts),
                "blind_spot": row.is_blind,
                "never_on": list(row.never_on),
            }
            for row in found.rows
        },
        "other_marks": {mark.value: count for mark, count in found.others},
        "unmarked": found.unmarked,
        "left_out": found.left_out,
        "blind_spots": list(found.blind_spots),
    }


def period_as_json(period: Period) -> dict[str, Any]:
    """The first and last day of a period, and how many there are."""
    return {
        "first": period.first.isoformat(),
        "last": period.last.isoformat(),
        "days": period.days,
    }
