"""What is known about clocks as JSON: proposals, plans, repairs, settings, undated readings."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from app.domain.clock import Moment
from app.domain.clock_anchors import Anchor, Fit, moment_of
from app.review.clock_words import found_words, settles_words, shift_words, why_words
from app.review.clocks import Clocks, Proposal, Repair
from app.review.memories import Record


def clocks_as_json(clocks: Clocks, proposals: Iterable[tuple[int, Proposal]]) -> dict[str, Any]:
    """The list of proposals, each with its number, and the counts beside it."""
    return {
        "person": clocks.person.name,
        "proposals": [_proposal(number, each) for number, each in proposals],
        "undated": len(clocks.undated),
        "in_doubt": clocks.in_doubt,
        "repaired": sum(len(r.records) for r in clocks.repairs if r.row.state == "applied"),
    }


def history_as_json(clocks: Clocks, meter: str | None) -> dict[str, Any]:
    """The settings and the repairs of the clocks, of one meter or of all."""
    return {
        "settings": [
            {
                "meter": each.name,
                "at": moment_of(row.at, each.zone).wall,
                "shown_before": row.shown_before,
                "shown_after": row.shown_after,
                "cause": row.cause,
            }
            for each, row in clocks.settings
            if meter in (None, each.name)
        ],
        "repairs": [_repair(each) for each in clocks.repairs if meter in (None, each.meter.name)],
    }


def record_as_json(record: Record) -> dict[str, Any]:
    """A record of a memory."""
    return {
        "uid": str(record.uid),
        "order": record.order,
        "meter": record.meter,
        "raw": record.raw,
        "shown": _iso(record.shown),
        "at": record.held.wall if record.held else None,
        "zone": record.held.zone if record.held else None,
        "value": record.value,
        "mark": record.mark,
        "time_state": record.time_state,
    }


def moment_as_json(moment: Moment) -> dict[str, Any]:
    """A moment."""
    return {"at": moment.wall, "zone": moment.zone, "instant": moment.instant}


def anchor_as_json(anchor: Anchor) -> dict[str, Any]:
    """A known moment."""
    return {"shown": _iso(anchor.shown), **moment_as_json(anchor.true), "why": anchor.why}


def fit_as_json(fit: Fit | None) -> dict[str, Any] | None:
    """How known moments go together."""
    if fit is None:
        return None
    return {"state": fit.state, "drift_ppm": fit.drift_ppm, "apart_s": fit.apart_s}


def _proposal(number: int, each: Proposal) -> dict[str, Any]:
    low, high = each.room_s
    return {
        "number": number,
        "meter": each.meter.name,
        "kind": each.kind,
        "n": each.n,
        "first": record_as_json(each.records[0]),
        "last": record_as_json(each.records[-1]),
        "found": found_words(each),
        "why": why_words(each),
        "shift_s": each.shift_s,
        "shift": None if each.shift_s is None else shift_words(each.shift_s),
        "in_doubt": any(record.in_doubt for record in each.records),
        "zone": each.zone,
        "smallest_shift_s": low,
        "largest_shift_s": high,
        "settles": settles_words(each),
    }


def _repair(each: Repair) -> dict[str, Any]:
    return {
        "meter": each.meter.name,
        "state": each.row.state,
        "n": len(each.records),
        "from_order": each.row.first_order,
        "to_order": each.row.last_order,
        "shift_s": each.row.shift_s,
        "drift_ppm": each.row.drift_ppm,
        "anchors": [anchor_as_json(anchor) for anchor in each.anchors],
        "records": [record_as_json(record) for record in each.records],
    }


def _iso(wall: datetime | None) -> str | None:
    return (
        None if wall is None else wall.isoformat(timespec="seconds" if wall.second else "minutes")
    )
