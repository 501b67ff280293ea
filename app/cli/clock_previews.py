"""What the repair of a clock would do, shown before it is done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from app.cli.words import plural
from app.review.clock_stretch import AS_PROPOSED
from app.review.clock_words import fit_words, record_words, wall_words
from app.review.clocks_json import anchor_as_json, fit_as_json, moment_as_json, record_as_json
from app.review.memories import Record
from app.work.clock_plan import RepairPlan
from app.work.repair_clock import Repaired


def preview_lines(plan: RepairPlan, records: Sequence[Record]) -> Iterator[str]:
    """Old and new times beside each other, with the records around them; nothing is changed."""
    by_id = {each.id: each for each in records}
    before, after = _around(plan, records)
    yield f"{plural(len(plan.records), 'record')} of the meter {plan.meter}:"
    if before is not None:
        yield f"  before them: {record_words(before)}"
    for at, each in enumerate(plan.records):
        record = by_id[each.id]
        yield f"  {wall_words(record.shown)}  →  {_new(plan, at)}   {record.value}"
    if after is not None:
        yield f"  after them: {record_words(after)}"
    if all(each.why == AS_PROPOSED for each in plan.anchors) and plan.kind == "repair":
        yield "By the shift that is proposed; one known moment (--anchor) would make it sure."
    elif plan.fit is not None:
        yield fit_words(plan.fit)
    if plan.disagrees:
        yield (
            "Nothing was changed. With --sure both known moments are kept and these readings stand "
            "without a time, their clock in doubt; with --instead only the new one holds."
        )
    else:
        yield "Nothing was changed yet. Write it with --sure; one undo takes it back."


def _around(plan: RepairPlan, records: Sequence[Record]) -> tuple[Record | None, Record | None]:
    """The records before and after those of a plan."""
    ids = [each.id for each in records]
    first = ids.index(plan.records[0].id)
    after = first + len(plan.records)
    return (
        records[first - 1] if first else None,
        records[after] if after < len(records) else None,
    )


def plan_as_json(
    plan: RepairPlan, records: Sequence[Record], done: Repaired | None
) -> dict[str, Any]:
    """The same as JSON, and whether it was written."""
    by_id = {each.id: each for each in records}
    before, after = _around(plan, records)
    return {
        "meter": plan.meter,
        "applied": done is not None,
        "sentence": done.sentence if done else None,
        "n": len(plan.records),
        "disagrees": plan.disagrees,
        "fit": fit_as_json(plan.fit),
        "shift_s": None if plan.disagrees or not plan.anchors else plan.shift_s,
        "anchors": [anchor_as_json(each) for each in plan.anchors],
        "before": None if before is None else record_as_json(before),
        "after": None if after is None else record_as_json(after),
        "records": [
            {
                **record_as_json(by_id[each.id]),
                "new": moment_as_json(plan.moments[at]) if plan.moments else None,
                "versions": [moment_as_json(moments[at]) for _, moments in plan.versions],
            }
            for at, each in enumerate(plan.records)
        ],
    }


def _new(plan: RepairPlan, at: int) -> str:
    if not plan.disagrees:
        moment = plan.moments[at]
        zone = f" ({moment.zone})" if plan.zone else ""
        return f"{moment.local:%a} {moment.wall.replace('T', ' ')}{zone}"
    said = (f"{m[at].local:%a} {m[at].wall.replace('T', ' ')}" for _, m in plan.versions)
    return "   or   ".join(dict.fromkeys(said))
