"""What is said on the command line of meters, vials and their use, and bottles of solution."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, time
from typing import TYPE_CHECKING, Any

from app.cli.kit_said import given, moment_of, moment_said, say, say_sentence
from app.domain.clock import Moment, Period, moment_at, offsets_of
from app.domain.errors import Refused
from app.domain.glucose import Unit
from app.domain.good_days import read_printed
from app.domain.kit import ControlRange, Kit, Meter
from app.domain.person import checked_unit, checked_zone
from app.review.record import record_of
from app.store.kit_rows import kit_of
from app.work.kit_named import (
    item_meant,
    meter_meant,
    own_kit,
    solution_meant,
    vial_meant,
)
from app.work.kit_tests import (
    say_kit_of_readings,
)
from app.work.kit_things import (
    add_meter,
    add_solution,
    edit_meter,
    edit_solution,
    remove,
)
from app.work.kit_vials import add_vial, edit_vial, end_use, read_range, use_vial
from app.work.meter_range import range_fields

if TYPE_CHECKING:
    from app.cli.surroundings import Asked
    from app.domain.person import Person


def _meter_add(asked: Asked) -> int:
    with asked.person() as (diary, person):
        fields = _meter_fields(asked, person, None)
        unit, zone = fields.pop("unit", None), fields.pop("zone", None)
        return say(
            asked,
            add_meter(
                diary,
                person,
                asked.options.name,
                now=asked.around.now,
                unit=Unit(unit) if unit else None,
                zone=zone,
                **fields,
            ),
        )


def _meter_edit(asked: Asked) -> int:
    with asked.person() as (diary, person):
        meter = meter_meant(own_kit(kit_of(diary), person), asked.options.name)
        fields = _meter_fields(asked, person, meter)
        if asked.options.rename is not None:
            fields["name"] = asked.options.rename
        if asked.options.last_day is not None:
            fields["last_day"] = asked.options.last_day.toordinal()
        return say(asked, edit_meter(diary, person, meter, fields, now=asked.around.now))


def _vial_add(asked: Asked) -> int:
    options = asked.options
    with asked.person() as (diary, person):
        kit = own_kit(kit_of(diary), person)
        meter = meter_meant(kit, options.meter) if options.meter else None
        since = None
        if meter is not None:
            since = (
                moment_said(asked, person) if options.at else _begin(asked, person, meter)
            ).instant
        return say(
            asked,
            add_vial(
                diary,
                person,
                now=asked.around.now,
                lot=options.lot,
                kind=options.kind,
                printed=read_printed(options.printed) if options.printed else None,
                opened=options.opened,
                days_open=options.days_open,
                strips=options.strips,
                ranges=_ranges(asked, person, meter),
                meter=meter,
                since=since,
            ),
        )


def _vial_edit(asked: Asked) -> int:
    options = asked.options
    with asked.person() as (diary, person):
        kit = own_kit(kit_of(diary), person)
        vial = vial_meant(kit, options.lot)
        fields = given(
            printed_expiry=read_printed(options.printed) if options.printed else None,
            opened_day=options.opened.toordinal() if options.opened else None,
            days_open=options.days_open,
            strips=options.strips,
            lot=options.rename,
            finished_day=options.finished.toordinal() if options.finished else None,
        )
        use = next((each for each in kit.uses if each.vial == vial.id), None)
        ranges = _ranges(asked, person, kit.meter(use.meter) if use else None)
        if not fields and not ranges:
            raise Refused("Say what is to be changed, for instance --printed 2026-05-15.")
        done = edit_vial(diary, person, vial, fields, now=asked.around.now, ranges=ranges)
        return say(asked, done)


def _use(asked: Asked) -> int:
    options = asked.options
    with asked.person() as (diary, person):
        kit = own_kit(kit_of(diary), person)
        vial, meter = vial_meant(kit, options.lot), meter_meant(kit, options.meter)
        end = moment_of(asked, person, options.until) if options.until else None
        done = use_vial(
            diary,
            person,
            vial,
            meter,
            moment_said(asked, person),
            now=asked.around.now,
            end=end,
            beside=options.beside,
        )
        return say(asked, done)


def _finish(asked: Asked) -> int:
    with asked.person() as (diary, person):
        vial = vial_meant(own_kit(kit_of(diary), person), asked.options.lot)
        return say(
            asked,
            end_use(diary, person, vial, moment_said(asked, person), now=asked.around.now),
        )


def _readings(asked: Asked) -> int:
    options = asked.options
    if options.meter is None and options.vial is None:
        raise Refused("Say with what they were made: --meter, --vial, or both.")
    with asked.person() as (diary, person):
        kit = own_kit(kit_of(diary), person)
        meter = meter_meant(kit, options.meter) if options.meter else None
        vial = vial_meant(kit, options.vial) if options.vial else None
        record = record_of(diary, person)
        last = options.last or options.first
        columns = record.between(Period(options.first, last))
        if not options.all:
            free = columns.meter == 0 if meter is not None else columns.vial == 0
            columns = columns.where(free)
        _, sentence = say_kit_of_readings(
            diary, person, columns.id.tolist(), now=asked.around.now, meter=meter, vial=vial
        )
    return say_sentence(asked, sentence)


def _solution_add(asked: Asked) -> int:
    options = asked.options
    with asked.person() as (diary, person):
        done = add_solution(
            diary,
            person,
            options.level.casefold(),
            now=asked.around.now,
            lot=options.lot,
            printed=read_printed(options.printed) if options.printed else None,
            opened=options.opened,
            days_open=90 if options.days_open is None else options.days_open,
        )
        return say(asked, done)


def _solution_edit(asked: Asked) -> int:
    options = asked.options
    with asked.person() as (diary, person):
        bottle = solution_meant(own_kit(kit_of(diary), person), options.lot, None)
        if bottle is None:
            raise Refused("Say which bottle by its lot or number; nothing was changed.")
        fields = given(
            printed_expiry=read_printed(options.printed) if options.printed else None,
            opened_day=options.opened.toordinal() if options.opened else None,
            days_open=options.days_open,
        )
        return say(asked, edit_solution(diary, person, bottle, fields, now=asked.around.now))


def _remove(asked: Asked) -> int:
    options = asked.options
    with asked.person() as (diary, person):
        kit = own_kit(kit_of(diary), person)
        table, row_id, uid = _thing_meant(kit, options.sort, options.name)
        done = remove(diary, person, table, row_id, uid, options.name, now=asked.around.now)
        return say(asked, done)


def _meter_fields(asked: Asked, person: Person, meter: Meter | None) -> dict[str, Any]:
    options = asked.options
    unit = checked_unit(options.unit) if options.unit else None
    fields = given(
        unit=unit.value if unit else None,
        zone=checked_zone(options.zone) if options.zone else None,
        serial=options.serial,
        capacity=options.capacity,
        first_day=options.first_day.toordinal() if options.first_day else None,
        keep_memory=None if options.keep_memory is None else int(options.keep_memory == "yes"),
    )
    if options.capacity is not None and not 1 <= options.capacity <= 100_000:
        raise Refused("A memory holds 1 to 100,000 results. Nothing was saved.")
    if options.range:
        shows = unit or (meter.unit if meter else person.unit)
        fields |= range_fields(options.range, shows)
    return fields


def _ranges(asked: Asked, person: Person, meter: Meter | None) -> tuple[ControlRange, ...]:
    options = asked.options
    unit = checked_unit(options.unit) if options.unit else meter.unit if meter else person.unit
    found = []
    for text in options.range:
        level, colon, ends = text.rpartition(":")
        found.append(read_range(ends, level.strip().casefold() if colon else "normal", unit))
    return tuple(found)


def _thing_meant(kit: Kit, sort: str, name: str) -> tuple[str, int, Any]:
    if sort == "meter":
        meter = meter_meant(kit, name)
        return "meter", meter.id, meter.uid
    if sort == "vial":
        vial = vial_meant(kit, name)
        return "vial", vial.id, vial.uid
    if sort == "item":
        item = item_meant(kit, name)
        return "kit_item", item.id, item.uid
    if sort == "solution":
        bottle = solution_meant(kit, name, None)
        if bottle is not None:
            return "solution", bottle.id, bottle.uid
    if sort == "control":
        test = next((each for each in kit.tests if f"#{each.id}" == name), None)
        if test is not None:
            return "control_test", test.id, test.uid
    raise Refused(f'There is no {sort} "{name}" here; nothing was changed.')


def _begin(asked: Asked, person: Person, meter: Meter) -> Moment:
    """The start of the day on which a vial was opened; now where that was not said."""
    if asked.options.opened is None:
        return moment_of(asked, person, None)
    wall = datetime.combine(asked.options.opened, time())
    offsets = offsets_of(wall, meter.zone)
    while not offsets:  # a zone whose clocks skip midnight: the day begins when they do
        wall = wall.replace(hour=wall.hour + 1)
        offsets = offsets_of(wall, meter.zone)
    return moment_at(wall, meter.zone, offsets[0])


ACTS: dict[str, Callable[[Asked], int]] = {
    "meter_add": _meter_add,
    "meter_edit": _meter_edit,
    "vial_add": _vial_add,
    "vial_edit": _vial_edit,
    "use": _use,
    "finish": _finish,
    "readings": _readings,
    "solution_add": _solution_add,
    "solution_edit": _solution_edit,
    "remove": _remove,
}
