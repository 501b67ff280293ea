"""The clocks of a person's meters: what looks wrong, what was repaired, what has no time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from app.domain.clock import Moment
from app.domain.clock_anchors import Anchor, moment_held, moment_of
from app.domain.clock_faults import Habits, in_memory_order, suspect_stretches
from app.domain.clock_shifts import Stay
from app.domain.person import Person
from app.domain.stamped import Kind, Stretch
from app.domain.usual_hours import UsualHours
from app.review.memories import Memory, Record, record_shown, shown_by_id, stamped
from app.store.clock_rows import (
    ClockRows,
    MeterClock,
    RepairRow,
    SettingRow,
    clock_rows,
)
from app.store.diary import Diary
from app.store.spans import spans_between

_DAY_S = 86_400
_EPOCH = date(1970, 1, 1).toordinal()
_EVER = (date.min.toordinal(), date.max.toordinal())


@dataclass(frozen=True, slots=True)
class Proposal:
    """A stretch of a meter's records whose clock looks wrong; nothing was changed.

    `shift_s` is what would be added to the stamps; None where nothing says. `anchor` is a known
    moment from the settings of the clock. `earliest` and `latest` are the shifts that the dated
    neighbours leave open, in seconds. `before` and `after` are those neighbours.
    """

    meter: MeterClock
    kind: Kind
    records: tuple[Record, ...]
    shift_s: int | None
    evidence: float
    zone: str | None
    anchor: Anchor | None
    before: Record | None
    after: Record | None

    @property
    def n(self) -> int:
        """How many records it has."""
        return len(self.records)

    @property
    def room_s(self) -> tuple[int | None, int | None]:
        """The smallest and the largest shift with which the order of the memory can hold."""
        first, last = self.records[0].shown, self.records[-1].shown
        low = high = None
        if first is not None and self.before is not None and self.before.held is not None:
            low = int((self.before.held.local - first).total_seconds())
        if last is not None and self.after is not None and self.after.held is not None:
            high = int((self.after.held.local - last).total_seconds())
        return low, high


@dataclass(frozen=True, slots=True)
class Repair:
    """A repair that was made, or whose anchors disagree, with its readings."""

    row: RepairRow
    meter: MeterClock
    records: tuple[Record, ...]
    anchors: tuple[Anchor, ...]


@dataclass(frozen=True, slots=True)
class Clocks:
    """All of it: proposals by meter and order, repairs, settings, and what is undated."""

    person: Person
    proposals: tuple[Proposal, ...]
    repairs: tuple[Repair, ...]
    settings: tuple[tuple[MeterClock, SettingRow], ...]
    undated: tuple[Record, ...]
    memories: tuple[Memory, ...]

    @property
    def in_doubt(self) -> int:
        """How many readings have a clock in doubt: nothing is settled, or moments disagree."""
        return sum(len(each.records) for each in self.repairs if each.row.state != "applied")

    def memory(self, meter_id: int) -> Memory | None:
        """The memory of a meter by its local id."""
        return next((each for each in self.memories if each.meter.id == meter_id), None)


def clocks_of(diary: Diary, person: Person) -> Clocks:
    """Look at the clocks of all the person's meters; nothing is changed."""
    rows = clock_rows(diary, person)
    shown = shown_by_id(rows, person)
    hours = UsualHours(rows.seen, rows.usual)
    stays = _stays(diary, person, rows)
    proposals: list[Proposal] = []
    memories = []
    for meter in rows.meters:
        own = [
            each for each in rows.records if each.meter_id == meter.id and each.order is not None
        ]
        seen = in_memory_order(stamped(each, shown[each.id], meter, stays) for each in own)
        by_id = {each.id: record_shown(each, shown[each.id], meter) for each in own}
        ordered = tuple(by_id[each.id] for each in seen)
        memories.append(Memory(meter, ordered, tuple(seen)))
        first_use = None if meter.first_day is None else date.fromordinal(meter.first_day)
        habits = Habits(meter.zone, hours, stays, first_use)
        found = suspect_stretches(seen, habits)
        proposals += [_proposal(meter, each, ordered, rows) for each in found]
    refused = {(no.kind, uid) for no in rows.nos for uid in (no.first, no.last)}
    return Clocks(
        person=person,
        proposals=tuple(each for each in proposals if not _ends(each) & refused),
        repairs=tuple(_repairs(rows, shown)),
        settings=tuple(
            (owner, each) for each in rows.settings if (owner := rows.meter(each.meter_id))
        ),
        undated=tuple(
            record_shown(each, shown[each.id], rows.meter(each.meter_id))
            for each in rows.records
            if each.instant is None
        ),
        memories=tuple(memories),
    )


def _ends(proposal: Proposal) -> set[tuple[str, UUID | None]]:
    """A proposal by its kind and its ends: it is the same one when either is the same."""
    return {(proposal.kind, proposal.records[place].uid) for place in (0, -1)}


def _stays(diary: Diary, person: Person, rows: ClockRows) -> tuple[Stay, ...]:
    """Stays in a zone that was said, and journeys of whole days that no such stay covers."""
    known = [
        Stay(each.start, each.end or 1 << 62, each.zone, each.meters_kept) for each in rows.stays
    ]
    found = list(known)
    for span in spans_between(diary, person, *_EVER):
        if span.kind != "journey" or span.last_day is None:
            continue
        # Half a day at either end: nobody knows yet in which zone these days are.
        start = (span.first_day - _EPOCH) * _DAY_S - _DAY_S // 2
        end = (span.last_day - _EPOCH + 1) * _DAY_S + _DAY_S // 2
        if not any(each.start < end and start < each.end for each in known):
            found.append(Stay(start, end, None))
    return tuple(found)


def _proposal(
    meter: MeterClock, found: Stretch, ordered: tuple[Record, ...], rows: ClockRows
) -> Proposal:
    records = ordered[found.first : found.last + 1]
    before = [each for each in ordered[: found.first] if each.held is not None]
    after = [each for each in ordered[found.last + 1 :] if each.held is not None]
    anchor = None
    if found.shift_s is None:
        neighbours = (before[-1].held if before else None, after[0].held if after else None)
        anchor = _set_then(meter, records, neighbours, rows.settings)
    return Proposal(
        meter=meter,
        kind=found.kind,
        records=records,
        shift_s=found.shift_s if anchor is None else anchor.shift_s,
        evidence=found.evidence,
        zone=found.zone,
        anchor=anchor,
        before=before[-1] if before else None,
        after=after[0] if after else None,
    )


def _set_then(
    meter: MeterClock,
    records: tuple[Record, ...],
    neighbours: tuple[Moment | None, Moment | None],
    settings: tuple[SettingRow, ...],
) -> Anchor | None:
    """A setting that was written down, wrong by itself, between the neighbours of a stretch."""
    first = records[0].shown
    before, after = neighbours
    for each in settings:
        if each.meter_id != meter.id or each.shown_after is None or first is None:
            continue
        shown = datetime.fromisoformat(each.shown_after)
        inside = (before is None or before.instant <= each.at) and (
            after is None or each.at <= after.instant
        )
        true = moment_of(each.at, meter.zone)
        if inside and shown <= first and shown != true.local:
            return Anchor(shown, true, each.cause)
    return None


def _repairs(rows: ClockRows, shown: dict[int, datetime | None]) -> list[Repair]:
    found = []
    for row in rows.repairs:
        meter = rows.meter(row.meter_id)
        if meter is None:
            continue
        own = [each for each in rows.records if each.repair_id == row.id]
        anchors = [
            Anchor(
                datetime.fromisoformat(each.raw_wall),
                moment_held(each.true_instant, each.true_wall, each.zone),
                each.why,
            )
            for each in row.anchors
            if each.raw_wall is not None
        ]
        records = tuple(record_shown(each, shown[each.id], meter) for each in own)
        found.append(Repair(row, meter, records, tuple(anchors)))
    return found
