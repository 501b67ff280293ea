"""What the Kit page says of meters' clocks: stretches that look wrong, settings, repairs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from app.domain.clock_anchors import fitted, moment_of
from app.domain.person import Person
from app.review.clock_stretch import AS_PROPOSED
from app.review.clock_words import (
    fit_words,
    found_words,
    length_words,
    shift_words,
    why_words,
)
from app.review.clocks import Clocks, Proposal, Repair
from app.review.memories import Record
from app.store.clock_rows import MeterClock, SettingRow
from app.ui.kit.words import day_named, many, tr
from app.ui.words import clock_words
from app.work.clock_plan import RepairPlan

DASH = "–"


@dataclass(frozen=True, slots=True)
class ClockLine:
    """A line of the history of clocks; `repair` where known moments can be added to it."""

    at: int
    when: str
    meter: str
    what: str
    why: str
    repair: Repair | None = None


def stamp_words(wall: datetime | None) -> str:
    """What a meter showed, as it is typed: "2020-01-01 00:20"."""
    return tr("no readable stamp") if wall is None else f"{wall:%Y-%m-%d %H:%M}"


def wall_named(wall: datetime, today: date, person: Person) -> str:
    """A wall time to read: "Sat 14 Nov 18:40"; with the year where it is another one."""
    day = day_named(wall.toordinal(), today.toordinal(), person)
    return f"{day} {clock_words(wall, person)}"


def held_words(record: Record, today: date, person: Person) -> str:
    """What the diary holds a record for."""
    return tr("undated") if record.held is None else wall_named(record.held.local, today, person)


def stretch_title(proposal: Proposal) -> str:
    """The head of a stretch: whose clock, and what looks wrong."""
    return f"{proposal.meter.name}: {found_words(proposal)}."


def stretch_text(proposal: Proposal) -> str:
    """How many records of which dates, why, and what is proposed."""
    parts = [count_and_dates(proposal.records), why_words(proposal)]
    if proposal.kind == "local_time":
        parts.append(tr("The stamps would stay as the wall times of the place."))
    elif proposal.shift_s is not None:
        parts.append(tr("Proposed: {shift}.").format(shift=shift_words(proposal.shift_s)))
    else:
        parts.append(tr("Nothing says yet what the stamps truly mean."))
    if any(each.in_doubt for each in proposal.records):
        parts.append(tr("Kept in doubt until more is known."))
    parts.append(tr("Nothing was changed."))
    return " ".join(parts)


def count_and_dates(records: Sequence[Record]) -> str:
    """How many records, and from which stamp to which."""
    first, last = stamp_words(records[0].shown), stamp_words(records[-1].shown)
    if len(records) == 1:
        return tr("1 record, stamped {first}.").format(first=first)
    return many(len(records), "{n} record", "{n} records") + tr(
        ", stamped {first} to {last}."
    ).format(first=first, last=last)


def disagreement_title(repair: Repair) -> str:
    """The head of a repair whose known moments disagree."""
    apart = length_words(abs(fitted(repair.anchors).apart_s)) if repair.anchors else "?"
    return tr("{meter}: two known moments disagree by {apart}.").format(
        meter=repair.meter.name, apart=apart
    )


def disagreement_text(repair: Repair) -> str:
    """What that means for the readings."""
    rest = many(
        len(repair.records),
        "{n} reading stands without a time, in no figure, until it is settled.",
        "{n} readings stand without a time, in no figure, until it is settled.",
    )
    return f"{rest} " + tr("Nothing was chosen.")


def plan_words(plan: RepairPlan) -> str:
    """How sure a plan is, or that nothing is chosen."""
    if plan.kind == "stay":
        return tr("By the clocks of {zone}, as the stay says.").format(zone=plan.zone)
    if all(each.why == AS_PROPOSED for each in plan.anchors):
        return tr(
            "By the shift that is proposed. One known moment, typed over it, would make it sure."
        )
    said = fit_words(plan.fit) if plan.fit else ""
    if plan.disagrees:
        said += " " + tr(
            "Take away the one that is wrong; or keep all, and these readings stand without a "
            "time until it is settled."
        )
    return said


def clock_lines(clocks: Clocks, today: date) -> list[ClockLine]:
    """Settings and repairs of all meters, the newest first."""
    person = clocks.person
    lines = [_setting(meter, row, today, person) for meter, row in clocks.settings]
    lines += [_repair(each, today, person) for each in clocks.repairs if each.records]
    return sorted(lines, key=lambda each: each.at, reverse=True)


def _setting(meter: MeterClock, row: SettingRow, today: date, person: Person) -> ClockLine:
    at = moment_of(row.at, meter.zone)
    before = None if row.shown_before is None else datetime.fromisoformat(row.shown_before)
    after = None if row.shown_after is None else datetime.fromisoformat(row.shown_after)
    was = None if before is None or before == after else _as_shown(before, at.local, person)
    if after is None or after == at.local:
        what = tr("was set right") if was is None else tr("showed {was}, was set right")
    else:
        what = tr("showed {then} from then on") if was is None else tr("showed {was}, then {then}")
    then = "" if after is None else _as_shown(after, at.local, person)
    return ClockLine(
        at=row.at,
        when=wall_named(at.local, today, person),
        meter=meter.name,
        what=what.format(was=was, then=then),
        why=row.cause or "",
    )


def _repair(repair: Repair, today: date, person: Person) -> ClockLine:
    held = repair.records[0].held
    true = repair.anchors[0].true if repair.anchors else held
    at = true.instant if true else 0
    count = many(len(repair.records), "{n} record", "{n} records")
    if repair.row.state == "applied":
        what = tr("{count} repaired, {shift}").format(
            count=count, shift=shift_words(repair.row.shift_s)
        )
        if repair.row.drift_ppm:
            what += tr(", with a rate")
    elif repair.row.state == "disagrees":
        what = tr("{count} without a time, known moments disagree").format(count=count)
    else:
        what = tr("{count} in doubt, times as stamped").format(count=count)
    return ClockLine(
        at=at,
        when=DASH if true is None else wall_named(true.local, today, person),
        meter=repair.meter.name,
        what=what,
        why="; ".join(dict.fromkeys(each.why for each in repair.anchors if each.why)),
        repair=repair,
    )


def _as_shown(wall: datetime, true: datetime, person: Person) -> str:
    """What a clock showed: the time alone where the day was right."""
    return clock_words(wall, person) if wall.date() == true.date() else stamp_words(wall)
