"""Readings, control tests, ketones and clock repairs as rows of the diary, raw stamps beside."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Any
from uuid import UUID

from app.domain.marks import Mark
from app.domain.reading import NewReading, Stamp
from app.store import schema
from app.store.readings import moment_fields, reading_fields
from sample_db.beginning import keeper_uid, place_uid, tag_uid
from sample_db.chapters import Added, Chapter, Imported, added
from sample_db.clocks import ClockRepair
from sample_db.household import Household
from sample_db.ids import uid_named
from sample_db.records import ControlTest, Ketone, Result, Trace, local_moment

_WRITTEN_AFTER_S = 300


@dataclass(frozen=True, slots=True)
class Source:
    """Where a record comes from: the import that brought it, its line, key and words there."""

    entered_at: int
    batch: UUID | None = None
    line: int | None = None
    key: bytes | None = None
    stamp: Stamp | None = None  # as the file has it; else what the meter showed

    @property
    def fields(self) -> dict[str, Any]:
        """The columns that say so."""
        return {
            "entered_at": self.entered_at,
            "import_id": self.batch,
            "line": self.line,
            "source_key": self.key,
        }


def reading_rows(home: Household, result: Result, source: Source) -> Iterator[Added | Imported]:
    """A reading with its note and its tags."""
    is_from_memory = result.trace is Trace.METER
    new = NewReading(
        glucose=result.glucose,
        moment=result.moment,
        time_from=result.time_from,
        time_state=result.time_state,
        mark=result.mark,
        mark_from=_mark_from(result.mark, is_from_memory=is_from_memory),
        hands=result.hands,
        standing=result.standing,
        standing_why=result.standing_why,
        stamp=source.stamp or result.stamp,
    )
    row = added(
        schema.reading,
        result.uid,
        **reading_fields(new),
        person_id=home.wishes.uid,
        origin="file" if is_from_memory else "sheet",
        keeper_id=keeper_uid(home, result.keeper),
        place_id=place_uid(home, result.place),
        **source.fields,
        memory_order=result.memory_order,
        clock_repair_id=_repair_of(home, result),
        meter_id=home.meter(result.meter).uid if result.meter else None,
    )
    yield Imported(row.table, row.uid, row.fields) if source.batch else row
    if result.note:
        yield note_row(result.uid, result.note)
    for label in result.tags:
        yield tag_row(home, label, "reading", result.uid)


def control_rows(home: Household, test: ControlTest, source: Source) -> Iterator[Added]:
    """A control test, and the bottle of solution where it is the first from it."""
    meter = home.meter(test.meter)
    bottle = next(each for each in home.solutions if each.level == test.level)
    if test is home.controls[0]:
        yield added(
            schema.solution,
            bottle.uid,
            level=bottle.level,
            lot=bottle.lot,
            printed_expiry=bottle.printed_expiry,
            opened_day=bottle.opened.toordinal(),
            days_open=bottle.days_open,
        )
    yield added(
        schema.control_test,
        test.uid,
        person_id=home.wishes.uid,
        meter_id=meter.uid,
        vial_id=next((each.uid for each in home.vials if each.name == test.vial), None),
        solution_id=bottle.uid,
        level=test.level,
        bound="exact",
        value=test.value,
        unit=test.unit.value,
        **moment_fields(test.moment),
        **_stamp_fields(source.stamp or test.stamp),
        origin="file",
        keeper_id=keeper_uid(home, test.keeper),
        **source.fields,
    )


def ketone_chapters(home: Household) -> Iterator[Chapter]:
    """Ketone tests as the envelope has them, typed in once a day."""
    for _, group in groupby(home.ketones, key=lambda each: each.moment.day):
        tests = list(group)
        at = tests[-1].moment.instant + _WRITTEN_AFTER_S
        yield Chapter(
            at,
            "ketone_tests",
            {"tests": str(len(tests))},
            home.wishes.uid,
            tuple(_ketone(home, test, at) for test in tests),
            keeper_uid(home, tests[0].keeper),
        )


def repair_rows(home: Household, repair: ClockRepair) -> Iterator[Added]:
    """A repair that the family accepted, and the known moment that it rests on."""
    yield added(
        schema.clock_repair,
        repair.uid,
        meter_id=home.meter(repair.meter).uid,
        from_order=repair.first_order,
        to_order=repair.last_order,
        shift_s=repair.shift_s,
        drift_ppm=0,
        state="applied",
    )
    true = local_moment(repair.true_wall, home.wishes.zone)
    yield added(
        schema.clock_anchor,
        uid_named(repair.uid, "clock_anchor"),
        repair_id=repair.uid,
        raw_wall=repair.raw_wall,
        true_wall=true.wall,
        zone=true.zone,
        true_instant=true.instant,
        why=repair.why,
    )


def note_row(about: UUID, text: str, table: str = "reading") -> Added:
    """A note on a row."""
    return added(schema.note, uid_named(about, "note"), tbl=table, row_uid=about.bytes, text=text)


def tag_row(home: Household, label: str, table: str, about: UUID) -> Added:
    """A tag on a row."""
    uid = uid_named(about, "tag_on", label)
    return added(schema.tag_on, uid, tag_id=tag_uid(home, label), tbl=table, row_uid=about.bytes)


def _ketone(home: Household, test: Ketone, entered_at: int) -> Added:
    return added(
        schema.ketone,
        test.uid,
        person_id=home.wishes.uid,
        method="blood",
        bound="exact",
        value=test.value,
        unit="mmol/L",
        **moment_fields(test.moment),
        **_stamp_fields(test.stamp),
        origin="sheet",
        keeper_id=keeper_uid(home, test.keeper),
        entered_at=entered_at,
    )


def _mark_from(mark: Mark, *, is_from_memory: bool) -> str | None:
    if mark is Mark.NONE:
        return None
    return "file" if is_from_memory else "person"


def _repair_of(home: Household, result: Result) -> UUID | None:
    if result.time_state != "repaired" or result.memory_order is None:
        return None
    return next(
        repair.uid
        for repair in home.clock_repairs
        if repair.meter == result.meter
        and repair.first_order <= result.memory_order <= repair.last_order
    )


def _stamp_fields(stamp: Stamp) -> dict[str, Any]:
    return {
        "raw_wall": stamp.wall,
        "raw_value": stamp.value,
        "raw_unit": stamp.unit,
        "raw_code": stamp.code,
    }
