"""The whole kit read back as plain records, in one state of the diary."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from uuid import UUID

from app.domain.clock import Moment
from app.domain.glucose import Bound, Glucose, LimitPair, Unit
from app.domain.kit import (
    ClockDoubt,
    ControlRange,
    ControlTest,
    Kit,
    KitEvent,
    KitItem,
    Meter,
    Narrowed,
    Solution,
    Supply,
    Vial,
    VialUse,
)
from app.domain.person import Person
from app.store.connection import rows_of
from app.store.diary import Diary

NARROWED = "doubt_narrowed"  # kind of a ruling
CONTROL_EVERY = "control_test_days"  # key of the person's setting: as often as the label says

# Every table that can put a reading in doubt, beside the readings themselves.
_TABLES = (
    *("meter", "vial", "vial_range", "vial_use", "solution", "control_test"),
    *("kit_item", "kit_event", "supply", "ruling", "clock_repair"),
)
_REV = "SELECT max({})".format(
    ", ".join(f"ifnull((SELECT max(rev) FROM {table}), 0)" for table in _TABLES)
)
_LIVE = "WHERE deleted_at IS NULL"
_METERS = f"""
    SELECT id, uid, name, unit, zone, person_id, serial, low_mg, low_mmol, high_mg, high_mmol,
        capacity, keep_memory, first_day, last_day FROM meter {_LIVE} ORDER BY id
"""
_VIALS = f"""
    SELECT id, uid, kind, person_id, lot, strips, printed_expiry, opened_day, days_open,
        finished_day FROM vial {_LIVE} ORDER BY ifnull(opened_day, 1 << 40), id
"""
_RANGES = f"SELECT vial_id, level, low, high, unit FROM vial_range {_LIVE} ORDER BY id"
_USES = f"""
    SELECT id, vial_id, meter_id, from_instant, to_instant FROM vial_use {_LIVE}
    ORDER BY from_instant, id
"""
_SOLUTIONS = f"""
    SELECT id, uid, level, lot, printed_expiry, opened_day, days_open FROM solution {_LIVE}
    ORDER BY id
"""
_TESTS = f"""
    SELECT id, uid, meter_id, level, bound, value, unit, instant, wall, zone, offset_min, vial_id,
        solution_id, temperature, person_id FROM control_test {_LIVE} AND instant IS NOT NULL
    ORDER BY instant, id
"""
_ITEMS = f"SELECT id, uid, kind, name, person_id FROM kit_item {_LIVE} ORDER BY id"
_EVENTS = f"""
    SELECT id, uid, kind, at, meter_id, vial_id, item_id, note FROM kit_event {_LIVE}
    ORDER BY at, id
"""
_SUPPLIES = f"""
    SELECT id, uid, kind, at, count, why, vial_id, person_id FROM supply {_LIVE} ORDER BY at, id
"""
_NARROWED = f"""
    SELECT row_uid, verdict, other_uid FROM ruling {_LIVE} AND kind = '{NARROWED}' ORDER BY id
"""
_CLOCKS = f"""
    SELECT id, meter_id, from_order, to_order FROM clock_repair {_LIVE} AND state != 'applied'
    ORDER BY id
"""
_EVERY = "SELECT value FROM person_setting WHERE person_id = ? AND key = ? AND deleted_at IS NULL"

_IN_USE = f"""
    SELECT id, unit FROM meter {_LIVE} AND (person_id IS NULL OR person_id = ?)
    AND ifnull(first_day, 0) <= ? AND ifnull(last_day, 1 << 40) >= ? LIMIT 2
"""
_BATTERY_SECONDS = 90 * 86_400
# Bit 0 of a glucose sensor's status: battery low (Bluetooth SIG, Glucose Measurement).
_LOW_BATTERY = """
    SELECT meter_id, max(day), max(instant) FROM reading WHERE person_id = ?
    AND deleted_at IS NULL AND instant >= ? AND status_bits & 1 AND meter_id IS NOT NULL
    GROUP BY meter_id
"""


def kit_of(diary: Diary) -> Kit:
    """Everything of the kit, of whomever: a meter may be shared."""
    with diary.driver() as driver:
        return kit_in(driver)


def kit_in(driver: sqlite3.Connection) -> Kit:
    """The same from a connection that sees one whole state."""
    ranges: dict[int, list[ControlRange]] = defaultdict(list)
    for vial, level, low, high, unit in driver.execute(_RANGES):
        ranges[vial].append(ControlRange(level, low, high, Unit(unit)))
    return Kit(
        meters=tuple(_meter(row) for row in rows_of(driver, _METERS)),
        vials=tuple(
            _vial(row, tuple(ranges.get(row["id"], ()))) for row in rows_of(driver, _VIALS)
        ),
        uses=tuple(VialUse(*row) for row in driver.execute(_USES)),
        solutions=tuple(
            Solution(row[0], UUID(bytes=row[1]), *row[2:]) for row in driver.execute(_SOLUTIONS)
        ),
        tests=tuple(_test(row) for row in rows_of(driver, _TESTS)),
        items=tuple(
            KitItem(row[0], UUID(bytes=row[1]), *row[2:]) for row in driver.execute(_ITEMS)
        ),
        events=tuple(
            KitEvent(row[0], UUID(bytes=row[1]), *row[2:]) for row in driver.execute(_EVENTS)
        ),
        supplies=tuple(
            Supply(row[0], UUID(bytes=row[1]), *row[2:]) for row in driver.execute(_SUPPLIES)
        ),
        narrowed=tuple(
            Narrowed(UUID(bytes=test), verdict, UUID(bytes=passed) if passed else None)
            for test, verdict, passed in driver.execute(_NARROWED)
        ),
        clocks=tuple(ClockDoubt(*row) for row in driver.execute(_CLOCKS)),
        rev=kit_rev(driver),
    )


def kit_rev(driver: sqlite3.Connection) -> int:
    """The newest change of anything that can put a reading in doubt."""
    return int(driver.execute(_REV).fetchone()[0])


def only_meter(diary: Diary, person: Person, *, day: int, unit: Unit) -> int | None:
    """The local id of the person's one meter in use on a day, where it shows that unit.

    With none or several nobody knows which it was; a result in another unit is of another meter.
    """
    with diary.driver() as driver:
        found = driver.execute(_IN_USE, (person.id, day, day)).fetchall()
    return int(found[0][0]) if len(found) == 1 and found[0][1] == unit.value else None


def control_every(diary: Diary, person: Person) -> int | None:
    """After how many days the label wants a control test; None where that was not said."""
    with diary.driver() as driver:
        row = driver.execute(_EVERY, (person.id, CONTROL_EVERY)).fetchone()
    return int(row[0]) if row is not None and str(row[0]).isdecimal() else None


def low_batteries(diary: Diary, person: Person, kit: Kit, *, now: int) -> dict[int, int]:
    """Meters that noted a low battery since it was last changed, with the day (a date ordinal)."""
    with diary.driver() as driver:
        found = driver.execute(_LOW_BATTERY, (person.id, now - _BATTERY_SECONDS)).fetchall()
    changed = {each.meter: each.at for each in kit.events if each.kind == "battery" and each.meter}
    names = {each.id for each in kit.meters}
    return {m: day for m, day, at in found if m in names and at > changed.get(m, -1)}


def _meter(row: sqlite3.Row) -> Meter:
    return Meter(
        id=row["id"],
        uid=UUID(bytes=row["uid"]),
        name=row["name"],
        unit=Unit(row["unit"]),
        zone=row["zone"],
        person_id=row["person_id"],
        serial=row["serial"],
        low=_pair(row["low_mg"], row["low_mmol"]),
        high=_pair(row["high_mg"], row["high_mmol"]),
        capacity=row["capacity"],
        keep_memory=bool(row["keep_memory"]),
        first_day=row["first_day"],
        last_day=row["last_day"],
    )


def _vial(row: sqlite3.Row, ranges: tuple[ControlRange, ...]) -> Vial:
    return Vial(
        id=row["id"],
        uid=UUID(bytes=row["uid"]),
        kind=row["kind"],
        person_id=row["person_id"],
        lot=row["lot"],
        strips=row["strips"],
        printed=row["printed_expiry"],
        opened_day=row["opened_day"],
        days_open=row["days_open"],
        finished_day=row["finished_day"],
        ranges=ranges,
    )


def _pair(mg_dl: float | None, mmol_l: float | None) -> LimitPair | None:
    return None if mg_dl is None or mmol_l is None else LimitPair(mg_dl, mmol_l)


def _test(row: sqlite3.Row) -> ControlTest:
    return ControlTest(
        id=row["id"],
        uid=UUID(bytes=row["uid"]),
        meter=row["meter_id"],
        level=row["level"],
        glucose=Glucose(row["value"], Unit(row["unit"]), Bound(row["bound"])),
        moment=Moment(row["instant"], row["wall"], row["zone"], row["offset_min"]),
        vial_said=row["vial_id"],
        solution=row["solution_id"],
        temperature=row["temperature"],
        person_id=row["person_id"],
    )
