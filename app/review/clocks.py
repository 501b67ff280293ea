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
from app.domain.stamped import Kind, Stamped, Stretch
from app.domain.usual_hours import UsualHours
from app.exchange.raw_stamps import shown_times
from app.store.clock_rows import (
    ClockRows,
    MemoryRecord,
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
class Record:
    """One record of a memory: the reading, what the meter showed, what the diary holds."""

    id: int
    uid: UUID
    order: int | None
    shown: datetime | None
    raw: str | None
    held: Moment | None
    value: str
    mark: str
    time_state: str
    meter: str | None = None


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
class Memory:
    """A meter's records in the order of its memory: to show, and as the rules see them."""

    meter: MeterClock
    records: tuple[Record, ...]
    stamped: tuple[Stamped, ...]

    def place(self, record: Record) -> int:
        """The place of a record in the memory, counted from 0."""
        return next(at for at, each in enumerate(self.records) if each.id == record.id)


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
        """How many readings have a clock whose known moments disagree."""
        return sum(len(each.records) for each in self.repairs if each.row.state == "disagrees")

    def memory(self, meter_id: int) -> Memory | None:
        """The memory of a meter by its local id."""
        return next((each for each in self.memories if each.meter.id == meter_id), None)


def clocks_of(diary: Diary, person: Person) -> Clocks:
    """Look at the clocks of all the person's meters; nothing is changed."""
    rows = clock_rows(diary, person)
    shown = _shown(rows, person)
    hours = UsualHours(rows.seen, rows.usual)
    stays = _stays(diary, person, rows)
    proposals: list[Proposal] = []
    memories = []
    for meter in rows.meters:
        own = [
            each for each in rows.records if each.meter_id == meter.id and each.order is not None
        ]
        stamped = in_memory_order(_stamped(each, shown[each.id], meter) for each in own)
        by_id = {each.id: _record(each, shown[each.id], meter) for each in own}
        ordered = tuple(by_id[each.id] for each in stamped)
        memories.append(Memory(meter, ordered, tuple(stamped)))
        first_use = None if meter.first_day is None else date.fromordinal(meter.first_day)
        habits = Habits(meter.zone, hours, stays, first_use)
        found = suspect_stretches(stamped, habits)
        proposals += [_proposal(meter, each, ordered, rows) for each in found]
    refused = {(no.kind, uid) for no in rows.nos for uid in (no.first, no.last)}
    return Clocks(
        person=person,
        proposals=tuple(each for each in proposals if not _ends(each) & refused),
        repairs=tuple(_repairs(rows, shown)),
        settings=tuple(
            (meter, each) for each in rows.settings if (meter := rows.meter(each.meter_id))
        ),
        undated=tuple(
            _record(each, shown[each.id], rows.meter(each.meter_id))
            for each in rows.records
            if each.instant is None
        ),
        memories=tuple(memories),
    )


def _ends(proposal: Proposal) -> set[tuple[str, UUID | None]]:
    """A proposal by its kind and its ends: it is the same one when either is the same."""
    return {(proposal.kind, proposal.records[place].uid) for place in (0, -1)}


def _shown(rows: ClockRows, person: Person) -> dict[int, datetime | None]:
    """What the meter showed, by local id of the reading, read from the raw stamps.

    The stamps of one import are of one form, which the times that nobody changed give away.
    """
    by_source: dict[int | None, list[MemoryRecord]] = {}
    for each in rows.records:
        by_source.setdefault(each.import_id, []).append(each)
    found: dict[int, datetime | None] = {}
    for records in by_source.values():
        stamps = [(each.raw_wall, _known_wall(each)) for each in records]
        read = shown_times(stamps, date_order=person.date_order)
        for each, wall in zip(records, read, strict=True):
            found[each.id] = wall if each.raw_wall else _known_wall(each)
    return found


def _known_wall(record: MemoryRecord) -> datetime | None:
    """The wall time where it is what the stamp said: not repaired, moved or typed over."""
    if record.wall is None or record.repair_id is not None or record.time_state == "repaired":
        return None
    return datetime.fromisoformat(record.wall)


def _stamped(record: MemoryRecord, shown: datetime | None, meter: MeterClock) -> Stamped:
    settled = record.repair_id is not None or record.time_state == "repaired"
    wall = None if record.wall is None else datetime.fromisoformat(record.wall)
    by_hand = record.time_from == "typed" and record.raw_wall is not None and wall != shown
    return Stamped(
        id=record.id,
        order=record.order or 0,
        shown=shown,
        instant=record.instant,
        wall=wall,
        zone=record.zone or meter.zone,
        mark=record.mark,
        entered_at=record.entered_at,
        free=not (settled or by_hand),
    )


def _record(record: MemoryRecord, shown: datetime | None, meter: MeterClock | None) -> Record:
    held = None
    if record.instant is not None and record.wall is not None and record.zone is not None:
        held = moment_held(record.instant, record.wall, record.zone)
    words = {"below": "LO", "above": "HI", "no_value": "no value"}.get(record.bound)
    return Record(
        id=record.id,
        uid=record.uid,
        order=record.order,
        shown=shown,
        raw=record.raw_wall,
        held=held,
        value=f"{words or record.value} {record.unit}",
        mark=record.mark,
        time_state=record.time_state,
        meter=meter.name if meter else None,
    )


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
        records = tuple(_record(each, shown[each.id], meter) for each in own)
        found.append(Repair(row, meter, records, tuple(anchors)))
    return found
