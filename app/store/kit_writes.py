"""Writing about the kit inside one change, row by row."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from uuid import UUID, uuid4

from sqlalchemy import Table

from app.domain.clock import Moment
from app.domain.glucose import Glucose
from app.domain.kit import ControlRange
from app.domain.person import Person
from app.store import schema
from app.store.amend import held
from app.store.journal import Change
from app.store.kit_rows import CONTROL_EVERY, NARROWED
from app.store.readings import moment_fields
from app.store.rows import rows_with, select

# What may be changed about each of these, by the column of its table.
TABLES: dict[str, Table] = {
    "meter": schema.meter,
    "vial": schema.vial,
    "vial_use": schema.vial_use,
    "solution": schema.solution,
    "control_test": schema.control_test,
    "kit_item": schema.kit_item,
    "kit_event": schema.kit_event,
    "supply": schema.supply,
}


def add_row(change: Change, table: str, **fields: Any) -> tuple[int, UUID]:
    """Add a row of the kit, given by its columns; returns its local id and uid."""
    uid = uuid4()
    return change.add(TABLES[table], uid=uid, **fields), uid


def edit_row(change: Change, table: str, row_id: int, **fields: Any) -> bool:
    """Change columns of a row of the kit; whether one of them was different."""
    row = rows_with(change.connection, TABLES[table], "id", [row_id])[0]
    return change.edit_all(TABLES[table], [(row, fields)]) > 0


def write_ranges(change: Change, vial_id: int, ranges: Iterable[ControlRange]) -> bool:
    """Give a vial these printed ranges, each in place of the one of its level."""
    there = {
        row["level"]: row
        for row in rows_with(
            change.connection,
            schema.vial_range,
            "vial_id",
            [vial_id],
            where="deleted_at IS NULL",
        )
    }
    changed = False
    for each in ranges:
        fields: dict[str, Any] = {"low": each.low, "high": each.high, "unit": each.unit.value}
        if each.level in there:
            changed |= change.edit_all(schema.vial_range, [(there[each.level], fields)]) > 0
        else:
            change.add(schema.vial_range, vial_id=vial_id, level=each.level, **fields)
            changed = True
    return changed


def write_control(
    change: Change,
    person: Person,
    glucose: Glucose,
    at: Moment,
    *,
    meter_id: int,
    level: str,
    vial_id: int | None,
    solution_id: int | None,
    temperature: str | None,
) -> tuple[int, UUID]:
    """Write a control test; returns its local id and uid."""
    return add_row(
        change,
        "control_test",
        person_id=person.id,
        meter_id=meter_id,
        vial_id=vial_id,
        solution_id=solution_id,
        level=level,
        bound=glucose.bound.value,
        value=glucose.value,
        unit=glucose.unit.value,
        **moment_fields(at),
        raw_value=glucose.value,
        origin="typed",
        entered_at=change.at,
        temperature=temperature,
    )


def write_narrowed(change: Change, test: UUID, verdict: str, passed: UUID | None) -> None:
    """Write the person's word on a failed control test, in place of an earlier one."""
    there = rows_with(
        change.connection,
        schema.ruling,
        "row_uid",
        [test.bytes],
        where=f"kind = '{NARROWED}' AND deleted_at IS NULL",
    )
    change.delete_all(schema.ruling, there)
    change.add(
        schema.ruling,
        kind=NARROWED,
        tbl="control_test",
        row_uid=test.bytes,
        other_uid=passed.bytes if passed else None,
        verdict=verdict,
    )


def write_control_every(change: Change, person: Person, days: int | None) -> None:
    """Write after how many days the label wants a control test; None takes it back."""
    there = select(
        change.connection,
        "SELECT * FROM person_setting WHERE person_id = ? AND key = ? AND deleted_at IS NULL",
        (person.id, CONTROL_EVERY),
    )
    if days is None:
        change.delete_all(schema.person_setting, there)
    elif there:
        change.edit_all(schema.person_setting, [(there[0], {"value": str(days)})])
    else:
        change.add(schema.person_setting, person_id=person.id, key=CONTROL_EVERY, value=str(days))


def rewrite_kit_of_readings(
    change: Change,
    person: Person,
    ids: Iterable[int],
    *,
    meter_id: int | None,
    vial_id: int | None,
) -> int:
    """Say of readings, by local id, with which meter and vial they were made; how many differed.

    What is None stays as it was. A reading of a meter's memory keeps its meter.
    """
    fields = {"meter_id": meter_id, "vial_id": vial_id}
    given = {name: value for name, value in fields.items() if value is not None}
    rows = []
    for row in held(change.connection, person, ids):
        keeps = row["memory_order"] is not None
        rows.append((row, {n: v for n, v in given.items() if not (keeps and n == "meter_id")}))
    return change.edit_all(schema.reading, rows)


def bin_row(change: Change, table: str, row_id: int) -> None:
    """Put a row of the kit into the bin, a vial with its ranges."""
    if table == "vial":
        hanging = rows_with(
            change.connection,
            schema.vial_range,
            "vial_id",
            [row_id],
            where="deleted_at IS NULL",
        )
        change.delete_all(schema.vial_range, hanging)
    change.delete(TABLES[table], row_id)


def used_by(change: Change, table: str, row_id: int) -> int:
    """How many live readings, uses and tests name a meter, a vial or a bottle."""
    column = f"{table}_id"
    users = [schema.reading, schema.vial_use, schema.control_test, schema.kit_event]
    return sum(
        len(rows_with(change.connection, user, column, [row_id], where="deleted_at IS NULL"))
        for user in users
        if column in user.c
    )
